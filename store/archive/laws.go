package archive

import (
	"errors"
	"fmt"

	"gelwright/store"
)

// contents reads job and states and holds them to the laws of a store.
func (r *Reader) contents() error {
	raw, err := r.entry(jobName)
	if err != nil {
		return err
	}
	var job jobFile
	if err := strictly(raw, &job); err != nil {
		return damaged(jobName, "%v", err)
	}
	r.Job, r.Files = job.Job, job.Files
	if raw, err = r.entry(statesName); err != nil {
		return err
	}
	if err := strictly(raw, &r.States); err != nil {
		return damaged(statesName, "%v", err)
	}
	if err := r.lawfulStates(); err != nil {
		return err
	}
	if err := r.lawfulJob(); err != nil {
		return err
	}
	if err := r.lawfulFiles(); err != nil {
		return err
	}
	if err := r.sheets(); err != nil {
		return err
	}
	return r.nothingOver()
}

// lawfulStates holds the chain of states to its laws.
func (r *Reader) lawfulStates() error {
	seen := map[string]bool{}
	for i := range r.States {
		s := &r.States[i]
		at := fmt.Sprintf("%s, state %d", statesName, i+1)
		// What the texts hold was read; an empty one stands for them here.
		check := store.NewState{Mark: s.Mark, Title: s.Title, Site: s.Site, Document: []byte("{}")}
		told, there := r.told[textName(s.Document)]
		_, change := r.told[textName(s.Change)]
		switch err := check.Check(); {
		case err != nil:
			return damaged(at, "%v", found(err))
		case s.Seq != i+1:
			return damaged(at, "it has number %d", s.Seq)
		case s.Title == "":
			return damaged(at, "it has no title")
		case seen[s.ID]:
			return damaged(at, "its id %q is there twice", s.ID)
		case !there || told.Size != int64(s.DocumentBytes):
			return damaged(at, "its document is missing or of another length")
		case s.Change != "" && !change:
			return damaged(at, "its change is missing")
		case s.Restored < 0 || s.Restored > i:
			return damaged(at, "it brings back state %d, which is none before it", s.Restored)
		case s.Restored > 0 && r.States[s.Restored-1].Document != s.Document:
			return damaged(at, "it brings back state %d with another document", s.Restored)
		case !s.When.Equal(store.Kept(s.When)):
			return damaged(at, "its time is finer than a millisecond")
		}
		seen[s.ID] = true
	}
	return nil
}

// lawfulJob holds the job to its states.
func (r *Reader) lawfulJob() error {
	if len(r.States) == 0 || r.Job.Newest != len(r.States) {
		return damaged(jobName, "it says %d states, there are %d", r.Job.Newest, len(r.States))
	}
	j, first, last := &r.Job, &r.States[0], &r.States[len(r.States)-1]
	switch {
	case !j.ID.Valid() || !j.Group.Valid() || j.Parent != "" && !j.Parent.Valid():
		return damaged(jobName, "its id, its group or its parent is none")
	case j.Title != last.Title || j.Site != last.Site || !j.Changed.Equal(last.When) || !j.Created.Equal(first.When):
		return damaged(jobName, "title, site or times are not those of its states")
	case (j.Parent == "") != (j.ParentSeq == 0) || j.ParentSeq < 0:
		return damaged(jobName, "what it was copied from is no state of a job")
	}
	return lawfulRetirement(j.Retired)
}

func lawfulRetirement(r *store.Retirement) error {
	if r != nil && (r.Check() != nil || !r.When.Equal(store.Kept(r.When))) {
		return damaged(jobName, "when or by whom it was retired cannot be read")
	}
	return nil
}

// lawfulFiles holds the files to their laws.
func (r *Reader) lawfulFiles() error {
	for i := range r.Files {
		f := &r.Files[i]
		at := fmt.Sprintf("%s, file %d", jobName, i+1)
		told, there := r.told[fileFolder+f.SHA256]
		switch err := f.Check(); {
		case err != nil:
			return damaged(at, "%v", found(err))
		case i > 0 && r.Files[i-1].Name >= f.Name:
			return damaged(at, "it is there twice, or out of order")
		case !there || told.Size != f.Size:
			return damaged(at, "its bytes are missing or of another length")
		case !f.When.Equal(store.Kept(f.When)):
			return damaged(at, "its time is finer than a millisecond")
		}
	}
	return nil
}

// nothingOver refuses bytes that no state and no file names.
func (r *Reader) nothingOver() error {
	known := 2
	if _, there := r.told[officeName]; there {
		known++
	}
	if len(textsOf(r.States))+len(filesOf(r.Files))+known != len(r.told) {
		return damaged(manifestName, "there are texts or files that nothing names")
	}
	return nil
}

// found is the finding of an error of package store; its remedy is for whoever made the state, not for whoever imports it.
func found(err error) string {
	var e *store.Error
	if errors.As(err, &e) {
		return e.Place + ": " + e.Found
	}
	return err.Error()
}
