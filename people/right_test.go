package people_test

import (
	"testing"

	"gelwright/people"
)

// Who may do what, told once more: a row for each right, the letters of the roles that have it. ASVS 8.1.1, 8.2.1.
func TestWhoMayDoWhat(t *testing.T) {
	want := map[people.Right]string{
		people.Anyone: "oecu-", people.ReadJobs: "oec", people.ChangeJobs: "oe", people.Record: "oec", people.PlanDays: "oe",
		people.SeePrices: "oe", people.OwnAccount: "oec", people.ManagePeople: "o", people.ReadDeeds: "o", people.RunOffice: "o",
		people.SeeOwnJob: "u", "": "", "fly": "",
	}
	letters := []struct {
		role   people.Role
		letter string
	}{{people.Owner, "o"}, {people.Estimator, "e"}, {people.Crew, "c"}, {people.Customer, "u"}, {"", "-"}}
	for right, roles := range want {
		got := ""
		for _, l := range letters {
			if (people.Actor{Role: l.role}).May(right) {
				got += l.letter
			}
		}
		if got != roles {
			t.Errorf("%q may be done by %q, want %q", right, got, roles)
		}
		if right.Known() != (roles != "") {
			t.Errorf("%q is known: %v", right, right.Known())
		}
	}
	for _, l := range letters {
		for _, right := range l.role.Rights() {
			if !l.role.May(right) {
				t.Errorf("%s has %q and may not", l.role, right)
			}
			if _, told := want[right]; !told {
				t.Errorf("%q is told by no row of this test", right)
			}
		}
	}
	if n := len(people.Owner.Rights()); n != 9 {
		t.Errorf("an owner has %d rights, want 9", n)
	}
}

func TestARoleIsLentDownwardsAlone(t *testing.T) {
	for _, c := range []struct {
		a, b people.Role
		want bool
	}{
		{people.Owner, people.Owner, true}, {people.Owner, people.Estimator, true}, {people.Owner, people.Crew, true},
		{people.Estimator, people.Owner, false}, {people.Estimator, people.Crew, true}, {people.Crew, people.Estimator, false},
		{people.Crew, people.Crew, true}, {people.Owner, people.Customer, false}, {people.Owner, "", false}, {"", people.Crew, false},
	} {
		if got := c.a.Covers(c.b); got != c.want {
			t.Errorf("%s covers %s: %v", c.a, c.b, got)
		}
	}
	if people.ThisComputer.Role != people.Owner || !people.ThisComputer.Known() || (people.Actor{}).Known() {
		t.Error("this computer is the owner, and nobody is not known")
	}
}
