package survey

import (
	"reflect"
	"strings"
	"testing"
)

func TestCalled(t *testing.T) {
	for _, c := range []struct {
		text string
		want Walk
	}{
		{"7.20 left 3.20 left 4.00 right 2.40 left 3.20 left 5.60 left", ell()},
		{"7.2, left, 3.2, left, 4, right, 2.4, left, 3.2, left, 5.6, left,", ell()},
		{"7200mm left 320 cm left 4 m right 2,40 left 3.2m left 5.60 left", ell()},
		{"4 left 3 left free 5 free 2", Walk{{4, 90, Squared}, {3, 1, Free}, {5, 0, Free}, {2, 0, Free}}},
		{"4 left 120° ? left 120 deg 4 left 120deg", Walk{{4, 120, Measured}, {0, 120, Measured}, {4, 120, Measured}}},
		{"10 ft 6 in right 10ft6in right 10'6\" right 10.5ft right", Walk{{3.2004, -90, Squared}, {3.2004, -90, Squared}, {3.2004, -90, Squared}, {3.2004, -90, Squared}}},
	} {
		got, err := Called(c.text)
		if err != nil || !reflect.DeepEqual(got, c.want) {
			t.Errorf("%s: %v, %v", c.text, got, err)
			continue
		}
		if again, err := Called(got.String()); err != nil || !reflect.DeepEqual(again, got) {
			t.Errorf("%s is said again as %s: %v", c.text, got, err)
		}
	}
	for text, says := range map[string]string{
		"": "0 sides", "4 left 3": "2 sides", "4 links 3 left 2": "corner B", "4 left 3 left five left": "side 3",
		"4 left 3 left 4 left": "270°", "4 left 3 right 4 left 3 left": "180°", "4 left 3 left 4 left 3 left 1": "a side is missing",
		"0 left 3 left 4 left 3 left": "side 1", "4 left 200° 3 left 4 left 3 left": "between 0 and 180", "-4 left 3 left": "side 1",
		strings.Repeat("4 left ", 61): "more than 60",
	} {
		if w, err := Called(text); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v, %v, want %q", text, w, err, says)
		}
	}
}

func FuzzCalled(f *testing.F) {
	f.Add("7.20 left 3.20 left 4.00 right 2.40 left 3.20 left 5.60 left")
	f.Add("4 left 120° ? left 120 deg 4 left 120deg")
	f.Add("10 ft 6 in right 3m free 2 left free 1")
	f.Fuzz(func(t *testing.T, text string) {
		w, err := Called(text)
		if err != nil {
			return
		}
		again, err := Called(w.String())
		if err != nil || !reflect.DeepEqual(w, again) {
			t.Errorf("%q is %v, said again as %q: %v, %v", text, w, w, again, err)
		}
	})
}
