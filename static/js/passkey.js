// Passkeys: the device makes or uses one, and the form sends what it says. A form marked data-passkey does nothing
// without this file; every such page says what works instead. Web Authentication, level 2 (W3C Recommendation, 2021).

const toBytes = (text) =>
  Uint8Array.from(atob(text.replace(/-/g, "+").replace(/_/g, "/")), (sign) => sign.charCodeAt(0));
const toText = (bytes) =>
  btoa(String.fromCharCode(...new Uint8Array(bytes))).replace(/\+/g, "-").replace(/\//g, "_").replace(/=+$/, "");
const withBytes = (key) => ({ ...key, id: toBytes(key.id) });

function creationOptions({ publicKey }) {
  return {
    publicKey: {
      ...publicKey,
      challenge: toBytes(publicKey.challenge),
      user: withBytes(publicKey.user),
      excludeCredentials: (publicKey.excludeCredentials ?? []).map(withBytes),
      // The passkey must be found again with no name typed, and the device must ask for its own lock.
      authenticatorSelection: { residentKey: "required", requireResidentKey: true, userVerification: "required" },
    },
  };
}

function requestOptions({ publicKey }) {
  return {
    publicKey: {
      ...publicKey,
      challenge: toBytes(publicKey.challenge),
      allowCredentials: (publicKey.allowCredentials ?? []).map(withBytes),
    },
  };
}

const ANSWERS = ["clientDataJSON", "attestationObject", "authenticatorData", "signature", "userHandle"];

function asSent(credential) {
  const response = {};
  for (const name of ANSWERS) if (credential.response[name]) response[name] = toText(credential.response[name]);
  return JSON.stringify({
    id: credential.id,
    rawId: toText(credential.rawId),
    type: credential.type,
    response,
    clientExtensionResults: credential.getClientExtensionResults(),
  });
}

const writtenIn = (form) => JSON.parse(document.getElementById(form.dataset.options).textContent);

async function fetched(form) {
  const answer = await fetch(form.action, { headers: { Accept: "application/json" } });
  if (!answer.ok) throw new Error(`status ${answer.status}`);
  return answer.json();
}

const ACTS = {
  add: async (form) => navigator.credentials.create(creationOptions(writtenIn(form).creation_options)),
  again: async (form) => navigator.credentials.get(requestOptions(writtenIn(form).request_options)),
  "sign-in": async (form) => navigator.credentials.get(requestOptions((await fetched(form)).request_options)),
};

const REASONS = {
  NotAllowedError: "The device gave no passkey: it was called off, it took too long, or there is none for this site.",
  InvalidStateError: "This device holds a passkey of yours for this site already.",
  SecurityError: "Passkeys work only where the site's address begins with https.",
};

async function run(form, said) {
  try {
    form.elements.credential.value = asSent(await ACTS[form.dataset.passkey](form));
    const copy = form.querySelector("[data-copy]");
    const tick = copy && document.querySelector(`input[type=checkbox][name="${copy.dataset.copy}"]`);
    if (tick) copy.value = tick.checked ? "on" : "";
    form.submit();
  } catch (refusal) {
    said.textContent = REASONS[refusal.name] ?? `The passkey could not be used (${refusal.message}). A code works still.`;
    said.hidden = false;
  }
}

for (const form of document.querySelectorAll("form[data-passkey]")) {
  if (!window.PublicKeyCredential) continue;
  const said = form.querySelector("[data-passkey-said]");
  said.hidden = true;
  form.hidden = false;
  form.querySelectorAll("button").forEach((button) => { button.hidden = false; });
  // Before the site's own guard against sending twice, which would hold a form that is never sent.
  window.addEventListener("submit", (event) => {
    if (event.target !== form) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    run(form, said);
  }, true);
}
