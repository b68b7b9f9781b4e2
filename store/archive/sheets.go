package archive

import (
	"encoding/json"
	"fmt"
	"time"

	"gelwright/office"
	"gelwright/store"
)

// sheetFile is a version of a sheet as office.json holds it.
type sheetFile struct {
	Kind    office.Kind     `json:"kind"`
	ID      store.ID        `json:"id"`
	Version int             `json:"version"`
	When    time.Time       `json:"when"`
	Who     string          `json:"who"`
	What    string          `json:"what"`
	Sheet   json.RawMessage `json:"sheet"`
}

// sheets reads what the office keeps of the job, where the file has it, and holds it to the laws of the office.
func (r *Reader) sheets() error {
	if _, there := r.told[officeName]; !there {
		return nil
	}
	raw, err := r.entry(officeName)
	if err != nil {
		return err
	}
	var list []sheetFile
	if err := strictly(raw, &list); err != nil {
		return damaged(officeName, "%v", err)
	}
	if len(list) == 0 {
		return damaged(officeName, "it holds no sheet")
	}
	last := map[store.ID]*office.Record{}
	for i := range list {
		at := fmt.Sprintf("%s, sheet %d", officeName, i+1)
		s, err := lawfulSheet(&list[i])
		if err != nil {
			return damaged(at, "%v", found(err))
		}
		before := last[s.ID]
		switch {
		case before == nil && s.Version != 1, before != nil && (before.Kind != s.Kind || s.Version != before.Version+1):
			return damaged(at, "its versions do not follow one another")
		case s.Kind == office.KindJob && s.ID != r.Job.ID:
			return damaged(at, "it is of another job")
		case !s.When.Equal(store.Kept(s.When)):
			return damaged(at, "its time is finer than a millisecond")
		}
		last[s.ID] = s
		r.Sheets = append(r.Sheets, *s)
	}
	return r.pointing(last)
}

// lawfulSheet reads a version of a sheet as the office would take it.
func lawfulSheet(f *sheetFile) (*office.Record, error) {
	sheet, err := office.Read(f.Kind, f.Sheet)
	if err != nil {
		return nil, err
	}
	change := office.Change{ID: f.ID, When: f.When, Who: f.Who, What: f.What, Sheet: sheet}
	if err := change.Check(); err != nil {
		return nil, err
	}
	return &office.Record{Kind: f.Kind, ID: f.ID, Version: f.Version, When: f.When, Who: f.Who, What: f.What, Sheet: sheet}, nil
}

// pointing holds what sheets name against what the file has: all that they name is there, and days are of this job.
func (r *Reader) pointing(last map[store.ID]*office.Record) error {
	for i := range r.Sheets {
		at, k := fmt.Sprintf("%s, sheet %d", officeName, i+1), r.Sheets[i].Sheet.Keys()
		for kind, id := range map[office.Kind]store.ID{office.KindCustomer: k.Customer, office.KindSite: k.Site, office.KindCrew: k.Crew} {
			if id != "" && (last[id] == nil || last[id].Kind != kind) {
				return damaged(at, "it names a %s that is not in the file", kind)
			}
		}
		if newest := last[r.Sheets[i].ID]; newest.Kind == office.KindDay && newest.Sheet.Keys().Job != r.Job.ID {
			return damaged(at, "it is a day of another job")
		}
	}
	return nil
}
