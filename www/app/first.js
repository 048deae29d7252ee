// @ts-check
/* The first script, and a small one: a link opens its check at once, so the start screen must not come before it. */
(() => {
  const { documentElement: root, head } = document;
  // What a link begins with; a chat program may have encoded its signs, so that it stands in the path or the query.
  const link = /(?:check|result)(?:\.|%2e)H4sI.*/is.exec(location.href)?.[0];
  if (!link) return;
  root.dataset.opening = '';
  if ('lost' in root.dataset || !location.hash) {
    location.replace(`${location.pathname.replace(/[^/]*$/, '')}#${link}`);
    return;
  }
  // Everything that asked/open-link.js leads to: asked for at once, not one import after the other. A test holds the list.
  const parts = [
    'app/kept-database.js app/units.js asked/asked-view.js asked/asked.js asked/open-link.js coach/check-lines.js coach/words.js records/database.js records/gzip.js',
    'records/store.js result/set-facts.js result/words.js share/check-link.js share/envelope.js share/fields.js share/find-link.js share/result-link.js share/text.js',
    'vendor/cborg/cborg.js vendor/cborg/lib/0uint.js vendor/cborg/lib/1negint.js vendor/cborg/lib/2bytes.js vendor/cborg/lib/3string.js',
    'vendor/cborg/lib/4array.js vendor/cborg/lib/5map.js vendor/cborg/lib/6tag.js vendor/cborg/lib/7float.js vendor/cborg/lib/bl.js',
    'vendor/cborg/lib/byte-utils.js vendor/cborg/lib/common.js vendor/cborg/lib/decode.js vendor/cborg/lib/encode.js vendor/cborg/lib/is.js',
    'vendor/cborg/lib/jump.js vendor/cborg/lib/tagged.js vendor/cborg/lib/token.js vendor/idb/index.js vendor/pako/pako.js vendor/scure-base/index.js',
  ];
  for (const href of parts.join(' ').split(' ')) head.append(Object.assign(document.createElement('link'), { rel: 'modulepreload', href }));
})();
