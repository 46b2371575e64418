// The drawings: unpacked when they come near, all of them before printing.
import { element, inflated } from './data.js';

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
  // Printing cannot wait for what is not unpacked yet: use the time when nothing else happens.
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
