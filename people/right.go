package people

import "slices"

// Right is something that may be done, in words that follow "you may not".
type Right string

// The rights. Anyone is that of what must answer before anybody is known: the page to sign in, and the page's own files.
const (
	Anyone       Right = "look at the first page"
	ReadJobs     Right = "read jobs"
	ChangeJobs   Right = "change jobs"
	Record       Right = "record on the roof"
	PlanDays     Right = "plan days and crews"
	SeePrices    Right = "see prices"
	OwnAccount   Right = "change one's own account"
	ManagePeople Right = "manage people"
	ReadDeeds    Right = "read who did what"
	RunOffice    Right = "look after the program and what it keeps"
	SeeOwnJob    Right = "see the job of a customer's link"
)

// table says which roles have a right. Who is not named has it not; Anyone needs no role and has no row.
var table = []struct {
	right Right
	roles []Role
}{
	{ReadJobs, []Role{Owner, Estimator, Crew}},
	{ChangeJobs, []Role{Owner, Estimator}},
	{Record, []Role{Owner, Estimator, Crew}},
	{PlanDays, []Role{Owner, Estimator}},
	{SeePrices, []Role{Owner, Estimator}},
	{OwnAccount, []Role{Owner, Estimator, Crew}},
	{ManagePeople, []Role{Owner}},
	{ReadDeeds, []Role{Owner}},
	{RunOffice, []Role{Owner}},
	{SeeOwnJob, []Role{Customer}},
}

// Known reports whether a right is one.
func (r Right) Known() bool {
	for _, row := range table {
		if row.right == r {
			return true
		}
	}
	return r == Anyone
}

// May reports whether a role has a right. ASVS 8.2.1: the default is no.
func (r Role) May(right Right) bool {
	for _, row := range table {
		if row.right == right {
			return slices.Contains(row.roles, r)
		}
	}
	return right == Anyone
}

// Rights are those of a role, in the order of the table.
func (r Role) Rights() []Right {
	out := []Right{}
	for _, row := range table {
		if slices.Contains(row.roles, r) {
			out = append(out, row.right)
		}
	}
	return out
}
