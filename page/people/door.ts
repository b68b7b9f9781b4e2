// The server's door: every call that the pages of accounts make. What comes in is checked here.

/** Refused is why the server did not do a thing. */
export class Refused extends Error {
  constructor(readonly code: string, message: string) { super(message); }
}

/** call asks the server; a refusal is thrown with its remedy. */
export async function call<T>(method: "GET" | "POST", path: string, body?: unknown): Promise<T> {
  const init: RequestInit = { method, headers: body === undefined ? {} : { "Content-Type": "application/json" } };
  if (body !== undefined) init.body = JSON.stringify(body);
  const answer = await fetch(path, init);
  const said: unknown = await answer.json().catch(() => null);
  if (answer.ok) return said as T;
  const e = said as { code?: string; detail?: string; remedy?: string } | null;
  throw new Refused(e?.code ?? String(answer.status), [e?.detail, e?.remedy].filter(Boolean).join(". ") || answer.statusText);
}

/** post asks for a change; its questions are JSON. */
export const post = <T>(path: string, body: unknown = undefined): Promise<T> => call<T>("POST", path, body);

/** Me is who asks. */
export interface Me { readonly accounts: boolean; readonly name: string; readonly role: string; readonly rights: readonly string[] }

/** Pass is a session, a token or a link. */
export interface Pass {
  readonly id: string; readonly name: string; readonly role: string; readonly from: string; readonly made: string; readonly used?: string;
  readonly ends: string; readonly this?: boolean;
}

/** Passkey is a passkey of one's own. */
export interface Passkey { readonly id: string; readonly name: string; readonly made: string; readonly used?: string }

/** Person is somebody who may sign in. */
export interface Person {
  readonly id: string; readonly sign_in: string; readonly name: string; readonly role: "owner" | "estimator" | "crew";
  readonly ended?: string; readonly password: boolean;
}

/** Invited is a person with the secret of an invitation. */
export interface Invited { readonly person: Person; readonly secret: string; readonly ends: string }

/** Secret is something new with its secret, which is told once. */
export interface Secret { readonly id: string; readonly secret: string; readonly ends: string }

/** Deed is something that was done. */
export interface Deed {
  readonly seq: number; readonly when: string; readonly kind: string; readonly by_name: string;
  readonly about?: string; readonly job?: string;
  readonly from?: string; readonly device?: string;
}

/** CustomerJob is what a customer is shown. */
export interface CustomerJob {
  readonly title: string; readonly site: string; readonly for: string; readonly ends: string; readonly days: readonly string[];
  readonly papers: readonly string[]; readonly photos: readonly string[];
}

interface Question { readonly secret: string; readonly options: { readonly publicKey: unknown } }

/** passkeysKept reports whether this browser can keep passkeys. */
export const passkeysKept = (): boolean => "PublicKeyCredential" in window;

/** makePasskey has this device make a passkey and keeps it under a name. */
export async function makePasskey(name: string): Promise<void> {
  const q = await post<Question>("/api/account/passkeys/begin");
  const made = await navigator.credentials.create({ publicKey: PublicKeyCredential.parseCreationOptionsFromJSON(
    q.options.publicKey as PublicKeyCredentialCreationOptionsJSON) }) as PublicKeyCredential | null;
  if (!made) throw new Refused("passkey", "");
  await post("/api/account/passkeys", { secret: q.secret, name, answer: made.toJSON() });
}

/** signInByPasskey signs in with a passkey of this device. */
export async function signInByPasskey(): Promise<void> {
  const q = await post<Question>("/api/sign-in/passkey/begin");
  const got = await navigator.credentials.get({ publicKey: PublicKeyCredential.parseRequestOptionsFromJSON(
    q.options.publicKey as PublicKeyCredentialRequestOptionsJSON) }) as PublicKeyCredential | null;
  if (!got) throw new Refused("passkey", "");
  await post("/api/sign-in/passkey", { secret: q.secret, answer: got.toJSON() });
}
