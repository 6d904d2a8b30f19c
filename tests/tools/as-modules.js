// Run with `node --import`: files under static/js are native modules, although no package file beside them says so, and
// `?tab=n` on the first import of a tab is handed down, so that every tab has modules of its own, as in a browser.
import { register } from 'node:module';

const hooks = `
export async function resolve(specifier, context, next) {
  const found = await next(specifier, context);
  const tab = /[?]tab=[0-9]+$/.exec(context.parentURL ?? '');
  const ours = found.url.includes('/static/js/') && !found.url.includes('?');
  return ours && tab ? { ...found, url: found.url + tab[0], format: 'module' } : found;
}
export async function load(url, context, next) {
  return next(url, url.includes('/static/js/') ? { ...context, format: 'module' } : context);
}`;

register(`data:text/javascript,${encodeURIComponent(hooks)}`);
