// The drawings: unpacked when they come near, all of them before printing.
import { element, inflated, inflatedNow } from './data.js';

async function unpack(paper) {
  if (paper.querySelector('img')) return;
  const title = paper.parentElement.querySelector('figcaption').textContent;
  const image = element('img', { alt: title });
  paper.append(image);
  const svg = await inflated(paper.dataset.svg);
  const url = URL.createObjectURL(new Blob([svg], { type: 'image/svg+xml' }));
  image.src = url;
  paper.href = url;
  paper.target = '_blank';
  paper.setAttribute('aria-label', `${title}: open it large`);
  await image.decode().catch(() => {});
}

/** Printing waits for no picture: what is not there yet stands in the page itself meanwhile. */
function drawWithin(paper) {
  const image = paper.querySelector('img');
  if (image?.complete && image.naturalWidth > 0) return;
  const drawn = new DOMParser().parseFromString(inflatedNow(paper.dataset.svg), 'image/svg+xml');
  const svg = document.importNode(drawn.documentElement, true);
  svg.setAttribute('class', 'within');
  paper.append(svg);
}

export function showSheets() {
  const papers = [...document.querySelectorAll('.paper')];
  for (const paper of papers) paper.style.aspectRatio = paper.dataset.ratio;
  const near = new IntersectionObserver((entries) => {
    for (const entry of entries) {
      if (!entry.isIntersecting) continue;
      near.unobserve(entry.target);
      unpack(entry.target);
    }
  }, { rootMargin: '800px' });
  papers.forEach((paper) => near.observe(paper));
  addEventListener('beforeprint', () => papers.forEach(drawWithin));
  addEventListener('afterprint', () => document.querySelectorAll('.paper .within').forEach((svg) => svg.remove()));
  // Paper is quicker where all are unpacked: use the time when nothing else happens.
  const later = globalThis.requestIdleCallback ?? ((work) => setTimeout(work, 1500));
  const rest = [...papers];
  const one = async () => {
    const paper = rest.shift();
    if (!paper) { document.documentElement.dataset.sheets = 'ready'; return; }
    await unpack(paper);
    later(one);
  };
  later(one);
}
