// @ts-check
/** Files dropped anywhere on the page. */

/** @param {(files: File[]) => void} take */
export function startDrop(take) {
  const body = document.body;
  let depth = 0;
  const mark = () => body.classList.toggle('dropping', depth > 0);
  addEventListener('dragenter', () => {
    depth += 1;
    mark();
  });
  addEventListener('dragleave', () => {
    depth = Math.max(0, depth - 1);
    mark();
  });
  addEventListener('dragover', (event) => event.preventDefault());
  addEventListener('drop', (event) => {
    event.preventDefault();
    depth = 0;
    mark();
    const files = [...(event.dataTransfer?.files ?? [])];
    if (files.length) take(files);
  });
}
