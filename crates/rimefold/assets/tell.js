// On the page of messages: this phone asks to be told.

const bytes = (text) => Uint8Array.from(atob(text.replace(/-/g, '+').replace(/_/g, '/')), (c) => c.charCodeAt(0));
const text = (buffer) => btoa(String.fromCharCode(...new Uint8Array(buffer))).replace(/\+/g, '-').replace(/\//g, '_').replace(/=+$/, '');

const form = document.getElementById('this-phone');
if (form && window.PushManager && navigator.serviceWorker) {
  form.hidden = false;
  form.addEventListener('submit', async (event) => {
    event.preventDefault();
    const say = (words) => { form.querySelector('p').textContent = words; };
    try {
      const beside = await navigator.serviceWorker.ready;
      const key = bytes(form.dataset.key);
      const asked = await beside.pushManager.subscribe({ userVisibleOnly: true, applicationServerKey: key });
      form.elements.endpoint.value = asked.endpoint;
      form.elements.p256dh.value = text(asked.getKey('p256dh'));
      form.elements.auth.value = text(asked.getKey('auth'));
      form.submit();
    } catch {
      say('This browser does not let itself be told. Look whether notifications are allowed for this address.');
    }
  });
}
