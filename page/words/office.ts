// What the office says, in English. One key for one text; a value is a parameter.

const number = (n: number, one: string, many: string): string => `${n} ${n === 1 ? one : many}`;
const share = (p: number): string => `${Math.round(100 * p)} in 100`;

export const office = {
  locale: "en-GB",
  views: { chart: "Jobs", calendar: "Calendar", find: "Find", names: "Names" },
  title: "The office",
  roofs: "Roofs",
  light: "Light",
  lights: { light: "light", dark: "dark", bright: "bright sun" },
  undo: "Undo",
  undone: (what: string) => `Taken back: ${what}`,
  working: "Looking …",
  stages: { enquiry: "Enquiry", survey: "Survey", design: "Design", order: "Order", "on the roof": "On the roof",
    "hand-over": "Hand-over", aftercare: "Aftercare", "not taken": "Not taken" } as { readonly [stage: string]: string },
  chart: {
    caption: "All jobs by where they stand", filter: "Words in a job, place, note or customer", all: "All stages",
    open: "Open: order to hand-over", stage: "Stage",
    job: "Job", way: "The way", waits: "Waits for", next: "Next on the roof", chance: "Chance", stands: "Stands at",
    none: "No job stands here.", count: (n: number, of: number) => `${n} of ${number(of, "job", "jobs")}`, more: "More jobs",
    done: (stage: string, date: string) => (date === "" ? `${stage} done` : `${stage} done, begun ${date}`),
    here: (stage: string, date: string) => (date === "" ? `stands at ${stage}` : `stands at ${stage} since ${date}`),
    ahead: (stage: string) => `${stage} to come`,
    nothing: "nothing", noDay: "no day yet",
    told: (n: number, day: string) => `To be seen to: ${number(n, "thing", "things")}, found ${day}`,
  },
  /** What a job waits for. */
  waits: {
    "no customer": () => "somebody to talk to: name the customer",
    "no dimensions": () => "dimensions: the roof has no outline yet",
    faults: (w: { readonly n: number; readonly text: string }) => `${number(w.n, "fault", "faults")} in the roof mended: ${w.text}`,
    questions: (w: { readonly n: number }) => `${number(w.n, "question", "questions")} of the plan answered`,
    stops: (w: { readonly n: number }) => `${number(w.n, "refusal", "refusals")} of the plan settled`,
    "not ordered": () => "goods: no day of the order is written",
    "no day": () => "a day on the roof",
    weather: (w: { readonly p: number; readonly text: string }, day: string) =>
      `weather: ${day} is sure to ${share(w.p)}${w.text === "" ? "" : ` (${w.text})`}`,
    "weather far": (_: unknown, day: string) => `a forecast that reaches ${day}`,
    word: (w: { readonly text: string; readonly late: boolean }, day: string) =>
      `${w.text}${day === "" ? "" : ` by ${day}`}${w.late ? ", which is past" : ""}`,
  },
  chance: { in: share, unknown: "not known", none: "cannot be begun", asking: "asking the forecast …",
    from: (day: string, p: number, at: string, finish: string, sure: boolean) =>
      `${day}: ${share(p)} that the whole roof holds, begun ${at}, done ${finish}${sure ? "" : ". Not sure enough to begin"}`,
    no: (day: string, why: string) => `${day}: the roof cannot be begun, ${why}`,
    beyond: (day: string) => `${day}: not known, the forecast of this roof does not reach it`,
    noForecast: (day: string) => `${day}: not known, this roof has no forecast`,
  },
  job: {
    back: "All jobs", roof: "Open the roof", stage: "Where it stands", move: (stage: string) => `Move to ${stage}`,
    passes: (stages: string) => `This passes over: ${stages}.`, whyOver: "Why, in a few words",
    moveOver: (stage: string) => `Pass over to ${stage}`,
    notTaken: "Not taken", why: "Why it is not taken", say: "Say why, then move it",
    people: "Customer and site", customer: "Customer", site: "Site", none: "nobody yet", noSite: "none yet",
    newCustomer: "New customer", newSite: "New site", begin: "Begin", name: "Name",
    ordered: "Goods ordered on", note: "Note", waits: "What it waits for", typed: "Waits for", by: "by", add: "Add a line",
    drop: "Leave out", days: "Days on the roof", plan: "Plan a day", date: "Date", crew: "Crew", nobody: "nobody yet", part: "Part",
    wholeRoof: "The whole roof", from: "Its first day", crewOfAll: "Crew for all of it", howMany: "Days",
    asPlanned: "as many as its plan has",
    putIn: "Put it into the calendar", off: "Take off", files: "Files and photos", upload: "Add files or photos", noFiles: "No files yet.",
    history: "Who changed this sheet", kept: (who: string, when: string) => `kept, ${who}, ${when}`, never: "nothing written yet",
    area: (m2: number) => `${m2.toFixed(1)} m²`,
    parts: { whole: "whole day", morning: "morning", afternoon: "afternoon" } as { readonly [part: string]: string },
  },
  calendar: {
    caption: (week: string) => `Week ${week}`, crew: "Crew", nobody: "nobody named", earlier: "Earlier", later: "Later", today: "This week",
    sheet: "The week on one sheet", hands: (n: number) => (n === 0 ? "nobody written down" : number(n, "hand", "hands")),
    keys: "Drag a roof to another day or crew: its days keep their distance, days off are skipped. "
      + "By keys: Enter takes it up, arrows carry it, Enter puts it down, Escape leaves it.",
    ofRoof: "on this roof",
    taken: (title: string) => `${title} is taken up. Arrows carry it, Enter puts it down, Escape leaves it.`,
    over: (day: string, crew: string) => `${crew}, ${day}`,
    dates: (days: readonly string[], n: number) => (n === 1 ? days[0]! : `${n} days: ${days.join(", ")}.`),
    moved: (title: string, days: string, crew: string) => `${title} stands with ${crew}, ${days.replace(/\.$/, "")}`,
    carry: "Carry", wholeRun: "all days of the roof that hang together", oneDay: "one day by itself",
    left: "It stays where it was.",
    twice: (crew: string, day: string) => `${crew} stands twice on ${day}`,
    isToday: (day: string, zone: string) => `Today is ${day} (${zone}).`,
    none: "No crew is named yet. Name one under Names, then plan days on a job's sheet.",
    day: (n: number, of: number) => `day ${n} of ${of}`,
  },
  find: { label: "Words in anything that was typed", nothing: "Nothing is found.", total: (n: number, given: number) =>
    (n > given ? `the first ${given} of ${n}` : String(n)),
    kinds: { title: "Jobs", place: "Sites", customer: "Customers", crew: "Crews", note: "Notes", file: "Files", roof: "In roofs",
      history: "History" } as { readonly [kind: string]: string } },
  names: {
    customers: "Customers", sites: "Sites", crews: "Crews", none: "None yet.",
    begin: { customers: "New customer", sites: "New site", crews: "New crew" } as { readonly [kind: string]: string },
    fields: { name: "Name", address: "Address, a line each", telephone: "Telephone", mail: "Mail", note: "Note",
      access: "How one gets on the roof", place: "Latitude, longitude", people: "Who is in it, a name a line",
      mark: "Mark: 1 to 3 letters or digits",
      works: "Works on, a day a line as Mon (else Monday to Friday)", away: "Put away" } as { readonly [field: string]: string },
    write: "Keep",
  },
  conflict: {
    head: (who: string, what: string) => `${who} changed this meanwhile (${what}). Nothing was written over.`,
    field: "Field", mine: "Yours", theirs: "There now", both: "both changed it",
    take: "Take what is there", join: "Join: keep what either changed", mineOver: "Put yours on top",
    fields: { stage: "stage", why: "why", reached: "days of the stages", customer: "customer", site: "site", waits: "waits for",
      ordered: "ordered on", note: "note", date: "date", crew: "crew", part: "part", off: "taken off", job: "job", name: "name",
      address: "address", telephone: "telephone", mail: "mail", away: "put away", access: "access", place: "place", people: "people",
      mark: "mark", works: "works on" } as { readonly [field: string]: string },
    empty: "empty",
  },
};

/** OfficeWords is what a language says of the office. */
export type OfficeWords = typeof office;
