// Play a loop, pause, play another; give what was said and what was counted.
async ({ module, sounds, block, settings }) => {
  const { Player } = await import(module);
  const player = new Player({ sounds });
  const said = [];
  for (const type of ["state", "bar", "loop", "ended"]) {
    player.addEventListener(type, ({ detail }) => said.push({ type, ...detail }));
  }
  const next = (type) => new Promise((done) => player.addEventListener(type, done, { once: true }));
  player.load(block, settings);
  player.start();
  await next("loop");
  player.pause();
  const paused = { ...player.played, state: player.state };
  await new Promise((done) => setTimeout(done, 500));
  const still = player.played;
  player.start();
  await next("loop");
  player.stop();
  const stopped = { ...player.played, state: player.state };
  player.forget();
  player.start();
  await next("ended");
  return { said, paused, still, stopped, ended: { ...player.played, state: player.state } };
};
