// Render what the player plays of a block, as it sounds: both channels, as 32-bit floats in base64.
async ({ modules, sounds, block, settings, rate, seconds }) => {
  const { Schedule } = await import(modules.schedule);
  const { Pump } = await import(modules.pump);
  const { Desk } = await import(modules.audio);
  const { EVERY, loadKit } = await import(modules.sound_kit);
  const context = new OfflineAudioContext(2, Math.ceil(seconds * rate), rate);
  const schedule = new Schedule(block, settings, { time: 0 });
  const asked = schedule.events(0, seconds);
  const wanted = asked.flatMap((event) => {
    if (event.type === "sound") return [[event.surface, event.dynamic]];
    if (event.type === "click") return [[event.name, "normal"]];
    return event.type === "tone" ? [[event.name, EVERY]] : [];
  });
  const kit = await loadKit(context, sounds, wanted);
  const pump = new Pump(schedule, new Desk(context, kit, settings), { from: 0 });
  for (let number = 0; number * 0.1 < seconds; number += 1) {
    context.suspend(number * 0.1).then(() => {
      pump.tick(context.currentTime);
      context.resume();
    });
  }
  const rendered = await context.startRendering();
  return [0, 1].map((channel) => {
    const bytes = new Uint8Array(rendered.getChannelData(channel).buffer);
    let text = "";
    for (let at = 0; at < bytes.length; at += 8192) text += String.fromCharCode(...bytes.subarray(at, at + 8192));
    return btoa(text);
  });
};
