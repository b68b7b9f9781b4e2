package browser

import (
	"strings"
	"testing"
)

// A blank roof on a phone says once what to do, and nothing lies on the buttons of the sheet.
func TestABlankRoofSaysOnceWhatToDo(t *testing.T) {
	s, _ := blank(t, phone)
	s.until("it says what to do", func() bool { return strings.Contains(s.words(), "Tap the corners") })
	s.keep("blank-phone")
	if n := strings.Count(s.words(), "Tap the corners"); n != 1 {
		t.Errorf("it says %d times to tap the corners", n)
	}
	over := eval[string](s, `(() => { const zoom = document.querySelector(".sheet-zoom").getBoundingClientRect();
		return [...document.querySelectorAll(".roof-sheet p")].filter((p) => { const b = p.getBoundingClientRect();
			return b.width > 0 && b.left < zoom.right && b.right > zoom.left && b.top < zoom.bottom && b.bottom > zoom.top; }).map((p) => p.textContent).join("; "); })()`)
	if over != "" {
		t.Errorf("over the buttons of the sheet lies: %s", over)
	}
	s.axe("a blank roof on a phone")
}

// The build-up of a roof that has no plan yet says where its defaults stay; a length says whose it is.
func TestTheBuildUpSaysWhoseALengthIs(t *testing.T) {
	for name, l := range map[string]look{"phone": phone, "desk": desk} {
		t.Run(name, func(t *testing.T) {
			s, _ := blank(t, l)
			s.tap("button", "Build-up.*")
			s.until("it says where the defaults are", func() bool { return strings.Contains(s.words(), "comes with the first plan") })
			for _, part := range []string{"Boards", "Insulation", "Mat", "Resin", "Setting out", "Top coat"} {
				s.find("group", part)
			}
			if whose := eval[string](s, `document.getElementById("field-spec.board.length_m").closest("fieldset")?.querySelector("legend").textContent ?? ""`); whose != "Boards" {
				t.Errorf("the length of a board stands under %q", whose)
			}
			s.keep("build-up-blank-" + name)
			s.axe("the build-up of a blank roof, " + name)
		})
	}
}

// unfinished is a roof whose outline is taped and of which nothing else is said.
func unfinished(t *testing.T, l look) *screen {
	t.Helper()
	s, _ := blank(t, l)
	s.tap("button", "Call the tape")
	for _, side := range [][2]string{{"4.8", "left"}, {"3.6", "left"}, {"4.8", "left"}, {"3.6", "close"}} {
		s.measured(side[0], side[1])
	}
	s.tap("button", "done")
	s.find("heading", "Edge 1 of 4, 4\\.80 m.*")
	s.kept()
	return s
}

// A roof whose edges nobody has named says so on To settle and on Papers, and each question leads to where it is answered. No papers
// are asked for: a refusal would stand on the console, and fail the test.
func TestAnUnfinishedRoofSaysWhatIsOpen(t *testing.T) {
	for name, l := range map[string]look{"phone": phone, "desk": desk} {
		t.Run(name, func(t *testing.T) {
			s := unfinished(t, l)
			for _, sheet := range []string{"To settle", "Papers"} {
				s.tap("button", sheet+".*")
				for _, n := range []string{"1", "2", "3", "4"} {
					s.find("button", "Answer it: Edge "+n+" of 4, .*: what is here\\?")
				}
				s.find("button", "Answer it: Which way does the water run\\?")
				s.keep("open-" + strings.ReplaceAll(strings.ToLower(sheet), " ", "-") + "-" + name)
				s.axe(sheet + " of an unfinished roof, " + name)
			}
			s.tap("button", "Answer it: Edge 3 of 4, .*")
			s.find("heading", "Edge 3 of 4, 4\\.80 m.*")
			s.tapAt(s.middle(s.within(".asking", "radio", "wall")))
			s.find("heading", "Edge 1 of 4, 4\\.80 m.*")
		})
	}
}

// On a hall as small as a phone shows it no words of the sheet lie on a rooflight; what has no room is left to the list.
func TestAHallsWordsKeepOffItsRooflights(t *testing.T) {
	for name, l := range map[string]look{"phone": phone, "desk": desk} {
		t.Run(name, func(t *testing.T) {
			s, _ := opened(t, "r12-hall", l)
			s.tap("button", "Survey.*")
			s.until("the rooflights are drawn", func() bool { return eval[int](s, `document.querySelectorAll(".hole").length`) >= 12 })
			s.keep("hall-" + name)
			over := eval[string](s, `(() => { const box = (x) => x.getBoundingClientRect(), holes = [...document.querySelectorAll(".hole")].map(box);
				return [...document.querySelectorAll(".area tspan, .fall-ratio")].filter((x) => holes.some((h) => { const b = box(x);
					return b.width > 0 && b.left < h.right - 1 && b.right > h.left + 1 && b.top + 4 < h.bottom && b.bottom - 4 > h.top; })).map((x) => x.textContent).join("; "); })()`)
			if over != "" {
				t.Errorf("on rooflights lies: %s", over)
			}
			s.axe("a hall, " + name)
		})
	}
}
