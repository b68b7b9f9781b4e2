// Links for customers, and what a customer is shown.

import { useEffect, useState } from "preact/hooks";
import { people as words } from "../words/spoken";
import { Passes } from "./account";
import { call, post, type CustomerJob, type Pass, type Secret } from "./door";
import { takeSecret } from "./enter";
import { endOf, Frame, inDays, Notice, Once, useLoaded, useTold, valuesOf } from "./frame";

interface JobRow { readonly id: string; readonly title: string; readonly site: string }

/** Customers is the page on which links are made and ended. */
export function Customers() {
  const [jobs, , fault] = useLoaded(() => call<{ jobs: JobRow[] }>("GET", "/api/jobs"));
  const [id, choose] = useState(/job=([\w-]+)/.exec(location.hash)?.[1] ?? "");
  const chosen = id || jobs?.jobs[0]?.id || "";
  return <Frame title={words.customers} ways><p>{words.linksAbout}</p>
    {jobs && (jobs.jobs.length === 0 ? <p>{words.noJobs}</p> : <label><span>{words.chooseJob}</span>
      <select value={chosen} onChange={(e) => choose(e.currentTarget.value)}>
        {jobs.jobs.map((j) => <option key={j.id} value={j.id}>{[j.title, j.site].filter(Boolean).join(", ")}</option>)}</select></label>)}
    {chosen && <Links key={chosen} job={chosen} />}<Notice told={fault} /></Frame>;
}

function Links({ job }: { readonly job: string }) {
  const at = `/api/jobs/${job}`;
  const [all, again, fault] = useLoaded(() => call<{ passes: Pass[] }>("GET", `${at}/links`));
  const [made, show] = useState<(Secret & { readonly name: string }) | null>(null);
  const [told, tell] = useTold();
  return <><h2>{words.links}</h2>
    {all && <Passes list={all.passes} none={words.noneYet}
      onEnd={(p) => tell(async () => { await post(`${at}/links/${p.id}/end`); again(); })} />}
    {made && <Once about={words.linkFor(made.name)} secret={`${location.origin}/customer#${made.secret}`} />}
    <form onSubmit={(e) => { const of = valuesOf(e); tell(async () => {
      const x = await post<Secret>(`${at}/links`, { name: of("customer"), ends: endOf(of("ends")) });
      show({ ...x, name: of("customer") });
      again();
    }); }}>
      <label><span>{words.customerName}</span><input name="customer" required /></label>
      <label><span>{words.ends}</span><input name="ends" type="date" value={inDays(90)} required /></label>
      <button class="act" type="submit">{words.makeLink}</button>
    </form>
    <Notice told={told.text ? told : fault} />
    <Photos at={at} /></>;
}

function Photos({ at }: { readonly at: string }) {
  const [all, again, fault] = useLoaded(async () => {
    const [files, seen] = await Promise.all([call<{ files: { name: string; mediaType: string }[] }>("GET", `${at}/files`),
      call<{ shown: string[] }>("GET", `${at}/shown`)]);
    return files.files.filter((f) => f.mediaType.startsWith("image/")).map((f) => ({ name: f.name, shown: seen.shown.includes(f.name) }));
  });
  const [told, tell] = useTold();
  return <><h2>{words.photos}</h2>
    {all && (all.length === 0 ? <p class="small">{words.noPhotos}</p> : <ul>{all.map((f) => <li key={f.name}><label class="yes-no">
      <input type="checkbox" checked={f.shown} onChange={(e) => { const shown = e.currentTarget.checked; tell(async () => {
        await post(`${at}/files/${encodeURIComponent(f.name)}/shown`, { shown });
        again();
      }); }} /><span>{f.name}</span></label></li>)}</ul>)}
    <Notice told={told.text ? told : fault} /></>;
}

/** Customer is what a customer sees of his job. */
export function Customer() {
  const [job, show] = useState<CustomerJob | null>(null);
  const [told, tell] = useTold();
  useEffect(() => tell(async () => {
    const secret = takeSecret();
    if (secret) await post("/api/customer", { secret });
    show(await call<CustomerJob>("GET", "/api/customer"));
  }), []);
  return <Frame title={job?.title ?? "gelwright"}>
    {job && <>
      <p>{job.site}</p><p class="small">{words.forCustomer(job.for, job.ends)}</p>
      <h2>{words.days}</h2>
      {job.days.length === 0 ? <p>{words.noDays}</p> : <><ul>{job.days.map((d) => <li key={d}>{words.day(d)}</li>)}</ul>
        <p class="small">{words.weather}</p></>}
      <h2>{words.papers}</h2>
      {job.papers.length === 0 ? <p>{words.noPapers}</p> : <ul>{job.papers.map((p) => <li key={p}>
        <a class="act" href={`/api/customer/papers/${encodeURIComponent(p)}`}>{words.paperNames[p] ?? p}</a></li>)}</ul>}
      {job.photos.length > 0 && <><h2>{words.customersPhotos}</h2>{job.photos.map((p) => <img key={p} alt={p} loading="lazy"
        src={`/api/customer/photos/${encodeURIComponent(p)}`} />)}</>}</>}
    <Notice told={told} /></Frame>;
}
