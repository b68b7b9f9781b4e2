package roof

// Problem is something in a survey that cannot be, or should be looked at.
type Problem struct {
	// Code names the kind of problem for good: "outline.crosses".
	Code string
	// Path of the field: "decks[main].openings[RL1].kerb_mm".
	Path string
	// Where is the piece by its writer's name.
	Where string
	// Message says what is wrong, Remedy how to mend it.
	Message, Remedy string
	// Warning marks what may stand.
	Warning bool
}

// Validate returns every problem of the survey, in the order of its parts.
func (j *Job) Validate() []Problem { return nil }
