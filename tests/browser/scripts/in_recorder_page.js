// On the audio thread, where a busy page is not felt: the frames at which sound starts.
class Recorder extends AudioWorkletProcessor {
  #before = 0;

  process([[samples]]) {
    if (!samples) return true;
    for (let at = 0; at < samples.length; at += 1) {
      if (samples[at] !== 0 && this.#before === 0) this.port.postMessage(currentFrame + at);
      this.#before = samples[at];
    }
    return true;
  }
}

registerProcessor("recorder", Recorder);
