// The phone's clock, and how far it is from the server's. A phone that is a day off still puts
// its facts in the right place: `at` is corrected by what the server said last, `entered_at` is
// the phone's own clock as it stood.

const NOTED = 120_000; // ms; below this nobody cares, and answers take time on the way

export const clock = {
  skew: 0, // ms that the server is ahead
  now: () => Date.now() + clock.skew,

  // Read from an answer's Date and the moments it was asked and came.
  hear(date, asked, came) {
    const server = Date.parse(date ?? "");
    if (!Number.isFinite(server)) return;
    const ahead = server - (asked + came) / 2;
    clock.skew = Math.abs(ahead) > NOTED ? Math.round(ahead / 1000) * 1000 : 0;
  },
};
