// Pump a schedule through an offline audio context; give the samples at which sound starts.
async ({ modules, block, settings, rate, seconds, lookahead, tick }) => {
  const { Schedule } = await import(modules.schedule);
  const { Pump } = await import(modules.pump);
  const { Desk } = await import(modules.audio);
  const context = new OfflineAudioContext(1, Math.ceil(seconds * rate), rate);
  const buffer = context.createBuffer(1, 8, rate);
  buffer.getChannelData(0).fill(1);
  const sound = { buffer, offset: 0 };
  const anything = { get: () => ({ ghost: sound, normal: sound, accent: sound }) };
  const schedule = new Schedule(block, settings, { time: 0 });
  const pump = new Pump(schedule, new Desk(context, anything), { from: 0, lookahead });
  for (let number = 0; number * tick < seconds; number += 1) {
    context.suspend(number * tick).then(() => {
      pump.tick(context.currentTime);
      context.resume();
    });
  }
  const samples = (await context.startRendering()).getChannelData(0);
  const onsets = [];
  for (let at = 0; at < samples.length; at += 1) {
    if (samples[at] !== 0 && (at === 0 || samples[at - 1] === 0)) onsets.push(at);
  }
  return { onsets, left: pump.left };
};
