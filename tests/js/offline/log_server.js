// A server on this machine that answers as the log does: /device says who is signed in and what
// time it is, /entries logs an id once. A test may have it do otherwise.
import { createServer } from "node:http";

/** @typedef {{status: number, body: unknown}} Answer a string as body is sent as it is */
/** @typedef {{id: string, student: number, day: string, [field: string]: unknown}} SentEntry */

export class LogServer {
  /** @type {string[]} */
  bodies = []; // word for word, in order
  /** @type {{body: string, headers: import("node:http").IncomingHttpHeaders}[]} */
  forms = [];
  /** @type {Answer} */
  insteadOfForm = { status: 500, body: {} };
  /** @type {Map<string, SentEntry>} */
  logged = new Map();
  /** @type {(string | undefined)[]} */
  tokens = [];
  student = 7;
  now = Date.now();
  asked = 0; // how often it was asked who is signed in
  /** @type {Answer | null} */
  insteadOfDevice = null;
  /** @type {(entry: SentEntry) => Answer | null | Promise<Answer | null>} */
  insteadOfLogging = () => null;

  constructor() {
    this.http = createServer(async (request, response) => {
      let body = "";
      for await (const part of request) body += part;
      const told = request.url === "/device" ? this.#device() : await this.#taken(body, request.headers);
      response.writeHead(told.status, { "Content-Type": "application/json" });
      response.end(typeof told.body === "string" ? told.body : JSON.stringify(told.body));
    });
  }

  /** Begin to listen; resolves to what the page says of it. */
  async open() {
    await new Promise((done) => this.http.listen(0, "127.0.0.1", () => done(null)));
    const address = this.http.address();
    const port = address && typeof address === "object" ? address.port : 0;
    const root = `http://127.0.0.1:${port}`;
    return { device: `${root}/device`, entries: `${root}/entries`, zone: "Europe/Berlin" };
  }

  async close() {
    this.http.closeAllConnections();
    await new Promise((done) => this.http.close(done));
  }

  #device() {
    this.asked += 1;
    const body = { student: this.student, now: this.now, day: "2026-11-25" };
    return this.insteadOfDevice ?? { status: 200, body };
  }

  /**
   * @param {string} body
   * @param {import("node:http").IncomingHttpHeaders} headers
   */
  async #taken(body, headers) {
    if (!headers["x-form-id"]) return this.#entry(body, headers);
    this.forms.push({ body, headers });
    return this.insteadOfForm;
  }

  /**
   * @param {string} body
   * @param {import("node:http").IncomingHttpHeaders} headers
   * @returns {Promise<Answer>}
   */
  async #entry(body, headers) {
    this.bodies.push(body);
    this.tokens.push(headers["x-csrftoken"]?.toString());
    /** @type {SentEntry} */
    const entry = JSON.parse(body);
    const instead = await this.insteadOfLogging(entry);
    if (instead) return instead;
    const isNew = !this.logged.has(entry.id);
    this.logged.set(entry.id, entry);
    return { status: isNew ? 201 : 200, body: entry };
  }
}
