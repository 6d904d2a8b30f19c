/**
 * The server's half of the sync protocol, small and in memory, with faults to order. Only for tests of the phone.
 *
 * `faults` is a list of `[part of the path, fault]`, each used once, in order of the requests that match:
 * `drop` (never arrives), `lose` (done, but the answer is lost), `twice` (delivered twice), a number (that status),
 * or a function of the request that answers instead.
 */
import { createHash, randomUUID } from 'node:crypto';

const AHEAD = 5 * 60_000;

export class FakeServer {
  store = randomUUID();
  /** @type {Map<string, any>} */
  ops = new Map();
  /** @type {Map<string, {length: number, bytes: Buffer, done: boolean}>} */
  uploads = new Map();
  /** @type {[string, any][]} */
  faults = [];
  /** @type {{method: string, path: string, body: any, status: number}[]} */
  log = [];
  now = () => Date.now();
  paired = true;
  /** Who the asking browser is, as the greeting says it. @type {string|null} */
  device = null;
  /** Code of refusal, or nothing. @type {(op: any) => string|undefined} */
  refuse = () => undefined;
  /** @type {any} */
  pack = null;
  seq = 0;
  pageSize = 500;

  /** To be put in place of the global `fetch`. */
  fetch = async (/** @type {string} */ path, /** @type {any} */ init = {}) => {
    const body = init.body instanceof ArrayBuffer ? Buffer.from(init.body) : (init.body ?? null);
    const request = { method: init.method ?? 'GET', path: String(path), body, headers: init.headers ?? {} };
    // What is sent leaves the phone's hands: the answer must not come in the same turn.
    await new Promise((go) => setTimeout(go, 0));
    const at = this.faults.findIndex(([part]) => request.path.includes(part));
    const fault = at < 0 ? null : this.faults.splice(at, 1)[0][1];
    if (fault === 'drop') throw new TypeError('Failed to fetch');
    if (typeof fault === 'number') return this.answer(request, problem(fault));
    if (typeof fault === 'function') return this.answer(request, fault(request));
    const first = this.handle(request);
    const answer = fault === 'twice' ? this.handle(request) : first;
    if (fault === 'lose') throw new TypeError('Failed to fetch');
    return this.answer(request, answer);
  };

  /** @param {any} request @param {{status: number, body: any, type?: string}} answer */
  answer({ method, path, body }, { status, body: content, type = 'application/json' }) {
    this.log.push({ method, path, body, status });
    const text = typeof content === 'string' ? content : JSON.stringify(content);
    return new Response(status === 204 ? null : text, { status, headers: { 'content-type': type } });
  }

  /** @param {any} request */
  handle({ method, path, body, headers }) {
    if (!this.paired) return problem(401, 'not-paired', 'after-pairing');
    const url = new URL(path, 'https://garage.test');
    if (url.pathname === '/sync/hello') {
      return ok({ underlamp: true, store: this.store, now: this.now(), device: this.device });
    }
    if (url.pathname === '/sync/ops') return this.takeOps(JSON.parse(body).ops);
    if (url.pathname === '/sync/changes') return this.changes(url.searchParams);
    if (url.pathname === '/sync/kept') return { status: 204, body: '' };
    if (url.pathname.startsWith('/sync/pack/')) return ok({ store: this.store, ...this.pack });
    if (url.pathname === '/uploads') return this.begin(JSON.parse(body));
    if (method === 'PATCH') return this.patch(url.pathname.slice('/uploads/'.length), body, headers);
    return problem(404);
  }

  /** @param {any[]} ops */
  takeOps(ops) {
    return ok({ store: this.store, now: this.now(), verdicts: ops.map((op) => this.judge(op)) });
  }

  /** @param {any} op */
  judge(op) {
    const had = this.ops.get(op.id);
    const refused = (/** @type {string} */ code, again = 'never') => ({
      id: op.id,
      is: 'refused',
      code,
      say: `Refused: ${code}`,
      again,
    });
    if (had) {
      // The same apart from its clock, which may have been corrected: the first reading stored stays.
      const { seq, ...same } = had;
      return JSON.stringify({ ...same, hlc: '' }) === JSON.stringify({ ...op, hlc: '' })
        ? { id: op.id, is: 'had', seq }
        : refused('id-reused');
    }
    if (Number(op.hlc.slice(0, 16)) > this.now() + AHEAD) return refused('clock-ahead', 'restamp');
    const code = this.refuse(op);
    if (code === 'kept') {
      this.ops.set(op.id, { ...op, seq: ++this.seq });
      return { id: op.id, is: 'kept', seq: this.seq, say: 'Its step was deleted.' };
    }
    if (code) return refused(code);
    this.ops.set(op.id, { ...op, seq: ++this.seq });
    return { id: op.id, is: 'applied', seq: this.seq };
  }

  /** @param {URLSearchParams} query */
  changes(query) {
    const [store, seq] = (query.get('since') ?? `${this.store}:0`).split(':');
    const fresh = store !== this.store;
    const after = fresh ? 0 : Number(seq);
    const all = [...this.ops.values()].filter((op) => op.seq > after && op.car === query.get('car'));
    const ops = all.slice(0, this.pageSize);
    const last = ops.at(-1)?.seq ?? after;
    const more = all.length > ops.length;
    return ok({
      store: this.store,
      now: this.now(),
      mark: `${this.store}:${last}`,
      more,
      fresh_start: fresh,
      ops,
    });
  }

  /** @param {{sha256: string, length: number}} body */
  begin({ sha256, length }) {
    const upload = this.uploads.get(sha256) ?? { length, bytes: Buffer.alloc(0), done: false };
    this.uploads.set(sha256, upload);
    return ok({ offset: upload.bytes.length, done: upload.done });
  }

  /** @param {string} sha @param {Buffer} bytes @param {Record<string, string>} headers */
  patch(sha, bytes, headers) {
    const upload = this.uploads.get(sha);
    if (!upload) return problem(404);
    if (Number(headers['upload-offset']) !== upload.bytes.length) {
      return problem(409, 'wrong-offset', 'later', { offset: upload.bytes.length });
    }
    upload.bytes = Buffer.concat([upload.bytes, bytes]);
    if (upload.bytes.length === upload.length) {
      const found = createHash('sha256').update(upload.bytes).digest('hex');
      if (found !== sha) return problem(422, 'wrong-hash', 'never');
      upload.done = true;
    }
    return ok({ offset: upload.bytes.length, done: upload.done });
  }

  /** As after restoring a backup which holds only the first `n` operations and no photos. @param {number} n */
  restore(n) {
    this.store = randomUUID();
    const kept = [...this.ops.values()].slice(0, n);
    this.ops = new Map(kept.map((op, at) => [op.id, { ...op, seq: at + 1 }]));
    this.seq = n;
    this.uploads.clear();
  }
}

/** @param {any} body */
function ok(body) {
  return { status: 200, body };
}

/** @param {number} status */
export function problem(status, code = 'faulty', again = 'later', more = {}) {
  return { status, body: { title: `Problem ${status}`, code, again, ...more } };
}
