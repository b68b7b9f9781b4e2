package web

import "gelwright/store"

// JobAsked is a question about one job.
type JobAsked struct {
	ID store.ID `path:"id" doc:"The job's id: 32 digits 0-9 a-f"`
}

// StateAsked is a question about a state of a job, the newest where none is named.
type StateAsked struct {
	JobAsked
	Seq int `query:"seq" minimum:"0" maximum:"2147483647" doc:"The number of the state; the newest where it is left out"`
}

// Paged is how a list is asked for.
type Paged struct {
	Page int `query:"page" minimum:"0" maximum:"1000000" doc:"The page, counted from 0"`
	Size int `query:"size" minimum:"1" maximum:"200" default:"50" doc:"Lines a page"`
}

// Whole is how a list is asked for that is short as a rule: all of it comes at once.
type Whole struct {
	Page int `query:"page" minimum:"0" maximum:"1000000" doc:"The page, counted from 0"`
	Size int `query:"size" minimum:"1" maximum:"1000" default:"1000" doc:"Lines a page"`
}

// part is the page of a list that is asked for.
func part[T any](q Whole, list []T) ([]T, Paging) {
	from := min(q.Page*q.Size, len(list))
	to := min(from+q.Size, len(list))
	return append([]T{}, list[from:to]...), Paging{Total: len(list), More: to < len(list)}
}

// Paging says how much of a list there is.
type Paging struct {
	Total int  `json:"total" doc:"Lines of all pages"`
	More  bool `json:"more" doc:"Whether lines follow"`
}
