// Written by 'go run ./internal/tools/pagetypes office' from the description of the API; not to be edited.

export interface Awaited {
  readonly by: string;
  readonly what: string;
}

export interface CalendarOf {
  readonly dates: readonly string[];
  readonly rows: readonly Row[];
  readonly today: string;
  readonly twice: readonly Twice[];
  readonly week: string;
  readonly zone: string;
}

export interface Chance {
  readonly at: string;
  readonly date: string;
  readonly finish: string;
  readonly p: number;
  readonly sure: boolean;
  readonly why: string;
}

export interface ChartLine {
  readonly crew: string;
  readonly customer: string;
  readonly id: string;
  readonly next: string;
  readonly place: string;
  readonly stage: string;
  readonly steps: readonly Step[];
  readonly title: string;
  readonly version: number;
  readonly waits: readonly Wait[];
  readonly why: string;
}

export interface ChartPage {
  readonly crews: readonly RecordOfCrew[];
  readonly lines: readonly ChartLine[];
  readonly more: boolean;
  readonly stages: readonly StageCount[];
  readonly today: string;
  readonly total: number;
  readonly zone: string;
}

export interface Crew {
  readonly away: boolean;
  readonly mark: string;
  readonly name: string;
  readonly note: string;
  readonly people: readonly string[];
  readonly works?: readonly string[];
}

export interface Customer {
  readonly address: readonly string[];
  readonly away: boolean;
  readonly mail: string;
  readonly name: string;
  readonly note: string;
  readonly telephone: string;
}

export interface Day {
  readonly crew: string;
  readonly date: string;
  readonly job: string;
  readonly note: string;
  readonly off: boolean;
  readonly part: string;
}

export interface DayWork {
  readonly date: string;
  readonly work: readonly string[];
}

export interface Difference {
  readonly before?: unknown;
  readonly chosen: boolean;
  readonly clash: boolean;
  readonly field: string;
  readonly key: string;
  readonly mine?: unknown;
  readonly taken: string;
  readonly theirs?: unknown;
  readonly where: string;
}

export interface Document {
  readonly roof: unknown;
}

export interface Fault {
  readonly code: string;
  readonly message: string;
  readonly path: string;
  readonly remedy: string;
  readonly warning: boolean;
  readonly where: string;
}

export interface FieldDifference {
  readonly both: boolean;
  readonly field: string;
  readonly mine: unknown;
  readonly theirs: unknown;
  readonly was: unknown;
}

export interface File {
  readonly mediaType: string;
  readonly name: string;
  readonly sha256: string;
  readonly size: number;
  readonly when: string;
  readonly who: string;
}

export interface FileList {
  readonly files: readonly File[];
  readonly more: boolean;
  readonly total: number;
}

export interface Found {
  readonly hits: readonly Hit[];
  readonly in: string;
  readonly total: number;
}

export interface FoundList {
  readonly found: readonly Found[];
}

export interface GivenDay {
  readonly based_on: number;
  readonly id: string;
  readonly sheet: Day;
}

export interface GivenDays {
  readonly days: readonly GivenDay[];
  readonly what?: string;
  readonly who?: string;
}

export interface GivenSheetCrew {
  readonly based_on: number;
  readonly sheet: Crew;
  readonly what?: string;
  readonly who?: string;
}

export interface GivenSheetCustomer {
  readonly based_on: number;
  readonly sheet: Customer;
  readonly what?: string;
  readonly who?: string;
}

export interface GivenSheetDay {
  readonly based_on: number;
  readonly sheet: Day;
  readonly what?: string;
  readonly who?: string;
}

export interface GivenSheetJob {
  readonly based_on: number;
  readonly sheet: Job;
  readonly what?: string;
  readonly who?: string;
}

export interface GivenSheetSite {
  readonly based_on: number;
  readonly sheet: Site;
  readonly what?: string;
  readonly who?: string;
}

export interface Hit {
  readonly id: string;
  readonly job: string;
  readonly kind: string;
  readonly place: string;
  readonly text: string;
  readonly title: string;
}

export interface Job {
  readonly customer: string;
  readonly note: string;
  readonly ordered: string;
  readonly reached: readonly Reached[];
  readonly site: string;
  readonly stage: string;
  readonly waits: readonly Awaited[];
  readonly why: string;
}

export interface OpenJob {
  readonly changed: string;
  readonly created: string;
  readonly document: Document;
  readonly group: string;
  readonly id: string;
  readonly parent?: string;
  readonly retired?: boolean;
  readonly seq: number;
  readonly site: string;
  readonly states: number;
  readonly title: string;
  readonly what: string;
  readonly who: string;
}

export interface Outlook {
  readonly days: readonly Chance[];
  readonly none: string;
  readonly target: number;
}

export interface Overtaken {
  readonly differs: readonly FieldDifference[];
  readonly id: string;
  readonly joined: unknown;
  readonly sheet: unknown;
  readonly version: number;
  readonly what: string;
  readonly when: string;
  readonly who: string;
}

export interface Problem {
  readonly code: string;
  readonly detail: string;
  readonly differences?: readonly Difference[];
  readonly faults?: readonly Fault[];
  readonly newest?: StateLine;
  readonly overtaken?: Overtaken;
  readonly place: string;
  readonly remedy: string;
  readonly status: number;
  readonly title: string;
}

export interface Reached {
  readonly date: string;
  readonly stage: string;
}

export interface RecordOfCrew {
  readonly id: string;
  readonly sheet: Crew;
  readonly version: number;
  readonly what: string;
  readonly when: string;
  readonly who: string;
}

export interface RecordOfCustomer {
  readonly id: string;
  readonly sheet: Customer;
  readonly version: number;
  readonly what: string;
  readonly when: string;
  readonly who: string;
}

export interface RecordOfDay {
  readonly id: string;
  readonly sheet: Day;
  readonly version: number;
  readonly what: string;
  readonly when: string;
  readonly who: string;
}

export interface RecordOfJob {
  readonly id: string;
  readonly sheet: Job;
  readonly version: number;
  readonly what: string;
  readonly when: string;
  readonly who: string;
}

export interface RecordOfSite {
  readonly id: string;
  readonly sheet: Site;
  readonly version: number;
  readonly what: string;
  readonly when: string;
  readonly who: string;
}

export interface Reminder {
  readonly day: string;
  readonly job: string;
  readonly kind: string;
  readonly made: string;
  readonly said: string;
  readonly title: string;
}

export interface ReminderList {
  readonly more: boolean;
  readonly reminders: readonly Reminder[];
  readonly total: number;
}

export interface Roof {
  readonly area_m2: number;
  readonly decks: number;
  readonly fault: string;
  readonly faults: number;
  readonly fetch: readonly string[];
  readonly outlook: Outlook;
  readonly questions: number;
  readonly stops: number;
  readonly work: readonly DayWork[];
}

export interface Row {
  readonly crew: string;
  readonly days: readonly (readonly Stand[])[];
  readonly mark: string;
  readonly name: string;
  readonly people: number;
}

export interface Run {
  readonly days: readonly RecordOfDay[];
  readonly from: string;
  readonly outlook: Outlook;
  readonly twice: readonly Twice[];
  readonly was: readonly RecordOfDay[];
}

export interface SheetListCrew {
  readonly sheets: readonly RecordOfCrew[];
}

export interface SheetListCustomer {
  readonly sheets: readonly RecordOfCustomer[];
}

export interface SheetListDay {
  readonly sheets: readonly RecordOfDay[];
}

export interface SheetListJob {
  readonly sheets: readonly RecordOfJob[];
}

export interface SheetListSite {
  readonly sheets: readonly RecordOfSite[];
}

export interface Site {
  readonly access: string;
  readonly address: readonly string[];
  readonly away: boolean;
  readonly name: string;
  readonly note: string;
  readonly place: string;
}

export interface StageCount {
  readonly jobs: number;
  readonly stage: string;
}

export interface StageMove {
  readonly based_on: number;
  readonly on?: string;
  readonly stage: string;
  readonly who?: string;
  readonly why?: string;
}

export interface Stand {
  readonly date: string;
  readonly id: string;
  readonly job: string;
  readonly note: string;
  readonly nth: number;
  readonly of: number;
  readonly part: string;
  readonly run: string;
  readonly site: string;
  readonly title: string;
  readonly version: number;
}

export interface Standing {
  readonly days: readonly RecordOfDay[];
  readonly id: string;
  readonly next: string;
  readonly roof: Roof;
  readonly stage: string;
  readonly steps: readonly Step[];
  readonly waits: readonly Wait[];
}

export interface StandingList {
  readonly standings: readonly Standing[];
}

export interface StateLine {
  readonly id: string;
  readonly restored?: number;
  readonly seq: number;
  readonly what: string;
  readonly when: string;
  readonly who: string;
}

export interface Step {
  readonly date: string;
  readonly done: boolean;
  readonly here: boolean;
  readonly stage: string;
}

export interface Twice {
  readonly crew: string;
  readonly date: string;
  readonly days: readonly string[];
}

export interface Wait {
  readonly date: string;
  readonly for: string;
  readonly late: boolean;
  readonly n: number;
  readonly p: number;
  readonly text: string;
}

/** Operations are what the office can ask, by the ids of the description. */
export interface Operations {
  readonly job: {
    readonly path: { readonly id: string };
    readonly query: object;
    readonly body: undefined;
    readonly answer: OpenJob;
  };
  readonly listFiles: {
    readonly path: { readonly id: string };
    readonly query: { readonly page?: number; readonly size?: number };
    readonly body: undefined;
    readonly answer: FileList;
  };
  readonly office_calendar: {
    readonly path: object;
    readonly query: { readonly week?: string; readonly weeks?: number };
    readonly body: undefined;
    readonly answer: CalendarOf;
  };
  readonly office_chart: {
    readonly path: object;
    readonly query: {
      readonly page?: number;
      readonly size?: number;
      readonly stage?: string;
      readonly open?: boolean;
      readonly find?: string;
    };
    readonly body: undefined;
    readonly answer: ChartPage;
  };
  readonly office_crews: {
    readonly path: object;
    readonly query: { readonly away?: boolean; readonly from?: string; readonly to?: string };
    readonly body: undefined;
    readonly answer: SheetListCrew;
  };
  readonly office_crew: {
    readonly path: { readonly id: string };
    readonly query: object;
    readonly body: undefined;
    readonly answer: RecordOfCrew;
  };
  readonly office_put_crew: {
    readonly path: { readonly id: string };
    readonly query: object;
    readonly body: GivenSheetCrew;
    readonly answer: RecordOfCrew;
  };
  readonly office_crew_versions: {
    readonly path: { readonly id: string };
    readonly query: { readonly size?: number };
    readonly body: undefined;
    readonly answer: SheetListCrew;
  };
  readonly office_customers: {
    readonly path: object;
    readonly query: { readonly away?: boolean; readonly from?: string; readonly to?: string };
    readonly body: undefined;
    readonly answer: SheetListCustomer;
  };
  readonly office_customer: {
    readonly path: { readonly id: string };
    readonly query: object;
    readonly body: undefined;
    readonly answer: RecordOfCustomer;
  };
  readonly office_put_customer: {
    readonly path: { readonly id: string };
    readonly query: object;
    readonly body: GivenSheetCustomer;
    readonly answer: RecordOfCustomer;
  };
  readonly office_customer_versions: {
    readonly path: { readonly id: string };
    readonly query: { readonly size?: number };
    readonly body: undefined;
    readonly answer: SheetListCustomer;
  };
  readonly office_days: {
    readonly path: object;
    readonly query: { readonly away?: boolean; readonly from?: string; readonly to?: string };
    readonly body: undefined;
    readonly answer: SheetListDay;
  };
  readonly office_put_days: {
    readonly path: object;
    readonly query: object;
    readonly body: GivenDays;
    readonly answer: SheetListDay;
  };
  readonly office_day: {
    readonly path: { readonly id: string };
    readonly query: object;
    readonly body: undefined;
    readonly answer: RecordOfDay;
  };
  readonly office_put_day: {
    readonly path: { readonly id: string };
    readonly query: object;
    readonly body: GivenSheetDay;
    readonly answer: RecordOfDay;
  };
  readonly office_day_versions: {
    readonly path: { readonly id: string };
    readonly query: { readonly size?: number };
    readonly body: undefined;
    readonly answer: SheetListDay;
  };
  readonly office_find: {
    readonly path: object;
    readonly query: { readonly find?: string; readonly most?: number };
    readonly body: undefined;
    readonly answer: FoundList;
  };
  readonly office_job: {
    readonly path: { readonly id: string };
    readonly query: object;
    readonly body: undefined;
    readonly answer: RecordOfJob;
  };
  readonly office_put_job: {
    readonly path: { readonly id: string };
    readonly query: object;
    readonly body: GivenSheetJob;
    readonly answer: RecordOfJob;
  };
  readonly office_run: {
    readonly path: { readonly id: string };
    readonly query: {
      readonly day?: string;
      readonly to: string;
      readonly crew?: string;
      readonly alone?: boolean;
      readonly days?: number;
    };
    readonly body: undefined;
    readonly answer: Run;
  };
  readonly office_stage: {
    readonly path: { readonly id: string };
    readonly query: object;
    readonly body: StageMove;
    readonly answer: RecordOfJob;
  };
  readonly office_standing: {
    readonly path: { readonly id: string };
    readonly query: { readonly crew?: string; readonly people?: number };
    readonly body: undefined;
    readonly answer: Standing;
  };
  readonly office_job_versions: {
    readonly path: { readonly id: string };
    readonly query: { readonly size?: number };
    readonly body: undefined;
    readonly answer: SheetListJob;
  };
  readonly office_sites: {
    readonly path: object;
    readonly query: { readonly away?: boolean; readonly from?: string; readonly to?: string };
    readonly body: undefined;
    readonly answer: SheetListSite;
  };
  readonly office_site: {
    readonly path: { readonly id: string };
    readonly query: object;
    readonly body: undefined;
    readonly answer: RecordOfSite;
  };
  readonly office_put_site: {
    readonly path: { readonly id: string };
    readonly query: object;
    readonly body: GivenSheetSite;
    readonly answer: RecordOfSite;
  };
  readonly office_site_versions: {
    readonly path: { readonly id: string };
    readonly query: { readonly size?: number };
    readonly body: undefined;
    readonly answer: SheetListSite;
  };
  readonly office_standings: {
    readonly path: object;
    readonly query: { readonly jobs: readonly string[] };
    readonly body: undefined;
    readonly answer: StandingList;
  };
  readonly listReminders: {
    readonly path: object;
    readonly query: { readonly page?: number; readonly size?: number };
    readonly body: undefined;
    readonly answer: ReminderList;
  };
}

/** operations are their methods and paths. */
export const operations = {
  job: ["GET", "/api/jobs/{id}"],
  listFiles: ["GET", "/api/jobs/{id}/files"],
  office_calendar: ["GET", "/api/office/calendar"],
  office_chart: ["GET", "/api/office/chart"],
  office_crews: ["GET", "/api/office/crews"],
  office_crew: ["GET", "/api/office/crews/{id}"],
  office_put_crew: ["PUT", "/api/office/crews/{id}"],
  office_crew_versions: ["GET", "/api/office/crews/{id}/versions"],
  office_customers: ["GET", "/api/office/customers"],
  office_customer: ["GET", "/api/office/customers/{id}"],
  office_put_customer: ["PUT", "/api/office/customers/{id}"],
  office_customer_versions: ["GET", "/api/office/customers/{id}/versions"],
  office_days: ["GET", "/api/office/days"],
  office_put_days: ["PUT", "/api/office/days"],
  office_day: ["GET", "/api/office/days/{id}"],
  office_put_day: ["PUT", "/api/office/days/{id}"],
  office_day_versions: ["GET", "/api/office/days/{id}/versions"],
  office_find: ["GET", "/api/office/find"],
  office_job: ["GET", "/api/office/jobs/{id}"],
  office_put_job: ["PUT", "/api/office/jobs/{id}"],
  office_run: ["GET", "/api/office/jobs/{id}/run"],
  office_stage: ["POST", "/api/office/jobs/{id}/stage"],
  office_standing: ["GET", "/api/office/jobs/{id}/standing"],
  office_job_versions: ["GET", "/api/office/jobs/{id}/versions"],
  office_sites: ["GET", "/api/office/sites"],
  office_site: ["GET", "/api/office/sites/{id}"],
  office_put_site: ["PUT", "/api/office/sites/{id}"],
  office_site_versions: ["GET", "/api/office/sites/{id}/versions"],
  office_standings: ["GET", "/api/office/standings"],
  listReminders: ["GET", "/api/reminders"],
} as const;
