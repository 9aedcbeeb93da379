// The events of a schedule in windows of `step` seconds; changed once at `change.time`.
async ({ modules, block, settings, start, step, until, change }) => {
  const { Schedule } = await import(modules.schedule);
  let schedule = new Schedule(block, settings, start);
  const found = [];
  for (let number = 0; number * step < until; number += 1) {
    if (change && number * step === change.time) schedule = schedule.changed(change.settings, change.time);
    found.push(...schedule.events(number * step, (number + 1) * step));
  }
  return found;
};
