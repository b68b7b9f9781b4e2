// Signing in, choosing a password by an invitation, and making the first owner.

import { useEffect, useState } from "preact/hooks";
import { people as words } from "../words/spoken";
import { passkeysKept, post, signInByPasskey } from "./door";
import { Frame, Notice, PasswordField, useTold, valuesOf } from "./frame";

/** secret stands behind the # of the address, and is taken out of it so that nobody reads it there. */
export function takeSecret(): string {
  const secret = location.hash.slice(1);
  if (secret) history.replaceState(null, "", location.pathname);
  return secret;
}

const enter = (): void => { location.href = `/${location.hash}`; };

/** SignIn asks for name and password, or for a passkey. */
export function SignIn() {
  const [told, tell] = useTold();
  return <Frame title={words.signIn}>
    <form onSubmit={(e) => { const of = valuesOf(e); tell(async () => {
      await post("/api/sign-in", { sign_in: of("name"), password: of("password") });
      enter();
    }); }}>
      <label><span>{words.signInName}</span><input name="name" autocomplete="username" autocapitalize="none" spellcheck={false} required />
      </label>
      <PasswordField label={words.password} name="password" use="current-password" />
      <Notice told={told} />
      <button class="act" type="submit">{words.signIn}</button>
    </form>
    {passkeysKept() && <p><button class="act" type="button" onClick={() => tell(async () => {
      await signInByPasskey().catch((why: unknown) => { throw why instanceof DOMException ? new Error(words.passkeyStopped) : why; });
      enter();
    })}>{words.withPasskey}</button></p>}
    <p class="small">{words.forgotten}</p>
  </Frame>;
}

/** Invitation has somebody choose a password. */
export function Invitation() {
  const [secret] = useState(takeSecret);
  const [who, know] = useState<{ readonly name: string; readonly sign_in: string } | null>(null);
  const [told, tell] = useTold();
  useEffect(() => tell(async () => {
    if (!secret) return { text: words.invitationGone };
    know(await post("/api/invitation", { secret }));
    return undefined;
  }), []);
  return <Frame title={who ? words.invitation(who.name) : words.signIn}>
    {who && <form onSubmit={(e) => { const of = valuesOf(e); tell(async () => {
      await post("/api/invitation/accept", { secret, password: of("password") });
      enter();
    }); }}>
      <input type="hidden" name="name" autocomplete="username" value={who.sign_in} />
      <PasswordField label={words.newPassword} name="password" use="new-password" about={words.choose(who.sign_in)} />
      <button class="act" type="submit">{words.chooseIt}</button>
    </form>}
    <Notice told={told} />
  </Frame>;
}

/** FirstOwner has whoever started the server make the first account. */
export function FirstOwner() {
  const [secret] = useState(takeSecret);
  const [told, tell] = useTold();
  return <Frame title={words.firstOwner}>
    <p>{words.firstAbout}</p>
    {secret && <form onSubmit={(e) => { const of = valuesOf(e); tell(async () => {
      await post("/api/first-owner", { secret, name: of("name"), sign_in: of("sign_in"), password: of("password") });
      enter();
    }); }}>
      <label><span>{words.name}</span><input name="name" autocomplete="name" required /></label>
      <label><span>{words.signInName}</span><small>{words.signInAbout}</small>
        <input name="sign_in" autocomplete="username" autocapitalize="none" spellcheck={false} required /></label>
      <PasswordField label={words.newPassword} name="password" use="new-password" about={words.goodPassword} />
      <button class="act" type="submit">{words.makeFirst}</button>
    </form>}
    <Notice told={secret ? told : { text: words.firstGone }} />
  </Frame>;
}
