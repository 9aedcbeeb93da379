// Strike sounds at their times, as the player does, and take back what is later than `cancelled`; give
// the loudest sample of each tenth of a second.
async ({ modules, sounds, struck, cancelled, seconds, rate }) => {
  const { Desk } = await import(modules.audio);
  const { loadKit } = await import(modules.sound_kit);
  const context = new OfflineAudioContext(1, Math.ceil(seconds * rate), rate);
  const wanted = struck.map(({ name }) => [name, "normal"]);
  const desk = new Desk(context, await loadKit(context, sounds, wanted));
  for (const { name, time } of struck) desk.strike(name, "normal", time);
  if (cancelled !== null) desk.cancel(cancelled);
  const samples = (await context.startRendering()).getChannelData(0);
  const step = rate / 10;
  return Array.from({ length: seconds * 10 }, (_, at) =>
    samples.slice(at * step, (at + 1) * step).reduce((most, one) => Math.max(most, Math.abs(one)), 0),
  );
};
