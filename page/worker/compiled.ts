// The engine, fetched and compiled while it comes.

/** compiled is the engine at an address; where the program carries none, the fault is what its server says of that. */
export async function compiled(address: string, get: typeof fetch = fetch): Promise<WebAssembly.Module> {
  const answer = await get(address);
  if (!answer.ok) throw new Error(refusal(await answer.text()) ?? `the server answers ${answer.status} for ${address}`);
  return WebAssembly.compileStreaming(answer);
}

/** refusal is a server's refusal in its own words, null where it gives none. */
function refusal(text: string): string | null {
  try {
    const said = JSON.parse(text) as { readonly detail?: string; readonly remedy?: string } | null;
    if (!said?.detail) return null;
    return said.remedy ? `${said.detail}. ${said.remedy}` : said.detail;
  } catch {
    return null;
  }
}
