package document

import (
	"fmt"
	"strings"
	"time"

	"gelwright/laying"
	"gelwright/scene/reading"
)

// partWords is the day and the hours of a part: of the calendar where a forecast settled it,
// else of a day like the one planned for.
func (d *pack) partWords(w wetDay) string {
	last := w.mixes[len(w.mixes)-1]
	end := last.MixAtMin + last.LayByMin
	if w.part != nil {
		end = w.part.EndMin
	}
	hours := clockWords(w.mixes[0].MixAtMin) + "–" + clockWords(end)
	if d.p.Schedule.Forecast() {
		return d.dateOf(w.day) + ", " + hours
	}
	return fmt.Sprintf("day %d, no date, %s", w.day, hours)
}

// dateOf is a day of the schedule: "Wed 13 May 2026".
func (d *pack) dateOf(day int) string {
	date := d.p.Schedule.DateOf(day)
	words := dateWords(date, d.p.Job.Site.Locale)
	if t, err := time.Parse(time.DateOnly, date); err == nil {
		words = t.Format("Mon ") + words
	}
	return words
}

// verdict says in a frame that there is no order, how sure the days are, and why; nothing
// where there is one.
func (d *pack) verdict() {
	if words := d.local(d.p.Schedule.Headline()); words != "" {
		d.framed(words)
	}
}

// withheld says over the doses of a part that nobody is to begin it, where that is so.
func (d *pack) withheld(part *laying.PartTime) {
	if words := d.withheldWords(part); words != "" {
		d.framed(words)
	}
}

// withheldWords are those of withheld, empty where a part may be begun.
func (d *pack) withheldWords(part *laying.PartTime) string {
	s := &d.p.Schedule
	if part == nil || s.Verdict != laying.NotSure {
		return ""
	}
	why := s.Whole() + "; this start by itself would hold"
	if !part.Go {
		why = strings.TrimPrefix(part.Why, "Do not begin ")
	}
	return d.local("DO NOT BEGIN: " + why + ". These doses are for the likeliest hours.")
}

// framedMM is the room that words take in a frame; none for no words.
func (d *pack) framedMM(words string) float64 {
	if words == "" {
		return 0
	}
	d.font(sizeText, true)
	return float64(len(d.wrap(words, d.width()-6)))*lineMM(sizeText) + frameMM
}

// framed writes words in bold within a frame.
func (d *pack) framed(words string) {
	d.font(sizeText, true)
	d.frame(d.wrap(words, d.width()-6))
}

// frameMM is what a frame takes above and below its words.
const frameMM = 6.0

// frame writes lines in bold within a frame.
func (d *pack) frame(lines []string) {
	high := float64(len(lines))*lineMM(sizeText) + frameMM - 2
	d.room(high + 2)
	d.font(sizeText, true)
	d.f.SetLineWidth(0.7)
	d.f.Rect(left, d.y, d.width(), high, "D")
	d.say(&reading.Node{Kind: reading.Paragraph, Text: strings.Join(lines, " "), Framed: true}, func() {
		for i, l := range lines {
			d.text(left+3, d.y+2+lineMM(sizeText)*(float64(i)+0.78), l)
		}
	})
	d.y += high + 2
}
