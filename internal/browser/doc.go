// Package browser walks the page as a person does: the real program, a real browser, things found by their role and name,
// tapped, dragged and typed as by hand. It holds tests alone. They need Chromium, and say so where it is missing; -short
// leaves them out. What they looked at is kept under build/screens.
package browser
