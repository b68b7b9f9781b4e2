package roof

import "fmt"

// Clock is a local time of the day, to the minute; the zero value is none given. It
// is read once, where a file is read, and never wrong after that. In files and JSON
// it is written "08:30".
type Clock int // minutes after midnight and one more, so that zero is none

// dayMin is the length of a day, minutes.
const dayMin = 24 * 60

// ClockAt returns the time of so many minutes after midnight, 0 to 1439.
func ClockAt(min int) Clock { return Clock(min + 1) }

// ParseClock reads "08:30", 00:00 to 23:59.
func ParseClock(text string) (Clock, error) {
	digit := func(i int) int { return int(text[i]) - '0' }
	if len(text) == 5 && text[2] == ':' {
		ok := true
		for _, i := range []int{0, 1, 3, 4} {
			ok = ok && digit(i) >= 0 && digit(i) <= 9
		}
		h, m := 10*digit(0)+digit(1), 10*digit(3)+digit(4)
		if ok && h < 24 && m < 60 {
			return ClockAt(h*60 + m), nil
		}
	}
	return 0, fmt.Errorf("%q is no time of day: write it like \"08:30\", 00:00 to 23:59", text)
}

// Given reports whether there is a time.
func (c Clock) Given() bool { return c > 0 && c <= dayMin }

// Min returns the minutes after midnight, 0 to 1439; of none given it returns 0.
func (c Clock) Min() float64 { return float64(max(0, int(c)-1)) }

// Or returns the time, or another where none is given.
func (c Clock) Or(other Clock) Clock {
	if c.Given() {
		return c
	}
	return other
}

// String returns "08:30", or nothing where no time is given.
func (c Clock) String() string {
	if !c.Given() {
		return ""
	}
	return fmt.Sprintf("%02d:%02d", (int(c)-1)/60, (int(c)-1)%60)
}

// MarshalText and UnmarshalText write and read what String returns.
func (c Clock) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

func (c *Clock) UnmarshalText(text []byte) (err error) {
	if *c = 0; len(text) == 0 {
		return nil
	}
	*c, err = ParseClock(string(text))
	return err
}
