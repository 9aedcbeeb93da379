// Play in real time while the page is busy for `stall` milliseconds again and again.
async ({ modules, block, settings, recorder: script, lookahead, seconds, stall }) => {
  const { Schedule } = await import(modules.schedule);
  const { Pump } = await import(modules.pump);
  const { Desk } = await import(modules.audio);
  const context = new AudioContext();
  await context.resume();
  await context.audioWorklet.addModule(`data:text/javascript,${encodeURIComponent(script)}`);
  const recorder = new AudioWorkletNode(context, "recorder");
  const onsets = [];
  recorder.port.addEventListener("message", ({ data }) => onsets.push(data));
  recorder.port.start();
  const buffer = context.createBuffer(1, 8, context.sampleRate);
  buffer.getChannelData(0).fill(0.1);
  const sound = { buffer, offset: 0 };
  const desk = new Desk(context, { get: () => ({ ghost: sound, normal: sound, accent: sound }) });
  desk.bus.connect(recorder);
  recorder.connect(context.destination);
  const start = context.currentTime + 0.5;
  const pump = new Pump(new Schedule(block, settings, { time: start }), desk, { from: start, lookahead });
  const ticking = setInterval(() => pump.tick(context.currentTime), 25);
  const stalling = setInterval(() => {
    const until = performance.now() + stall;
    while (performance.now() < until);
  }, stall + 60);
  await new Promise((done) => setTimeout(done, seconds * 1000));
  clearInterval(ticking);
  clearInterval(stalling);
  const { sampleRate: rate } = context;
  await context.close();
  return { onsets, start, rate, left: pump.left };
};
