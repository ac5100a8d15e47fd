// papers.js: order the steps by buttons; keep an answer when its page is left by one of the sitting's own links.
addEventListener('DOMContentLoaded', () => {
  const form = document.querySelector('[data-question]');
  if (!form) return;
  let changed = false;
  form.addEventListener('input', () => { changed = true; });

  const why = form.querySelector('[data-why]');
  if (why) (form.querySelector('[aria-invalid="true"]') || why).focus();

  const list = form.querySelector('[data-order]');
  if (list) {
    const say = document.querySelector('[data-say]');
    const steps = () => [...list.querySelectorAll('[data-step]')];
    const edges = () => steps().forEach((step, i, all) => {
      step.querySelector('[data-move="-1"]').setAttribute('aria-disabled', String(i === 0));
      step.querySelector('[data-move="1"]').setAttribute('aria-disabled', String(i === all.length - 1));
    });
    const write = () => steps().forEach((step, i) => { step.querySelector('select').value = String(i + 1); });
    const placed = step => Number(step.querySelector('select').value) || Infinity;
    steps().sort((a, b) => placed(a) - placed(b)).forEach(step => list.append(step));
    list.classList.add('is-live');
    form.querySelectorAll('[data-move]').forEach(button => { button.hidden = false; });
    form.querySelector('[data-without-script]').textContent = 'First step at the top. Saving keeps the order you see.';
    list.addEventListener('click', event => {
      const button = event.target.closest('[data-move]');
      if (!button) return;
      const step = button.closest('[data-step]'), up = button.dataset.move === '-1';
      const other = up ? step.previousElementSibling : step.nextElementSibling;
      if (!other) return;
      if (up) other.before(step); else other.after(step);
      step.classList.remove('moved'); void step.offsetWidth; step.classList.add('moved');
      button.focus();
      changed = true;
      say.textContent = step.querySelector('.order-t').textContent + ', now ' + (steps().indexOf(step) + 1) + ' of ' + steps().length;
      edges();
    });
    form.addEventListener('submit', write);
    edges();
  }

  document.querySelectorAll('[data-go]').forEach(link => link.addEventListener('click', event => {
    if (!changed || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    form.querySelector('[data-go-to]').value = link.dataset.go;
    form.requestSubmit();
  }));

  form.addEventListener('submit', event => {
    if (form.dataset.sent) { event.preventDefault(); return; }
    form.dataset.sent = 'yes';
  });
  addEventListener('pageshow', () => { delete form.dataset.sent; form.querySelector('[data-go-to]').value = ''; });
});
