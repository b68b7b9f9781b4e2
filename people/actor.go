package people

// Actor is who asks. The zero Actor is nobody: what is only known by an address.
type Actor struct {
	// ID is that of the account; empty of a customer, of this computer and of nobody.
	ID string
	// Name is what stands beside what was done: a person's, or "this computer".
	Name string
	// Role gives the rights.
	Role Role
	// Job is the one that a customer's link is for; empty of all others.
	Job string
}

// ThisComputer asks where there are no accounts: whoever sits before it owns what is on it.
var ThisComputer = Actor{Name: "this computer", Role: Owner}

// May reports whether an actor has a right.
func (a Actor) May(right Right) bool { return a.Role.May(right) }

// Known reports whether it is known who asks.
func (a Actor) Known() bool { return a.Role != "" }
