// What the page says of the work that is done behind it. What a piece of work says of itself comes from the server.

export const work = {
  head: "Made behind the page",
  make: "Make all papers as one file",
  state: { waiting: "waiting", running: "under way", done: "done", failed: "not done", cancelled: "called off" },
  parts: (done: number, whole: number): string => `${done} of ${whole}`,
  take: "Take the file",
  cancel: "Call it off",
};

/** WorkWords is what a language says of it. */
export type WorkWords = typeof work;
