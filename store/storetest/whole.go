package storetest

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"slices"
	"strings"

	"gelwright/store"
)

// whole is a store as simple as it can be: all of it in memory, searched from the beginning.
type whole struct{ jobs map[store.ID]*wholeJob }

type wholeJob struct {
	store.Job
	states []store.State // [0] is state 1
	files  map[string]store.File
	bytes  map[string][]byte
}

func no(kind store.Kind) answer { return answer{Kind: kind} }

// does is what a store must say to an act.
func (w *whole) does(a act) answer {
	j := w.jobs[a.Job]
	if a.Do == "create" {
		return w.create(a)
	} else if a.Do == "list" {
		return w.list(a.Ask)
	} else if j == nil {
		return no(store.Unknown)
	}
	switch a.Do {
	case "append":
		return j.append(a.New.First, a.Based, 0)
	case "restore":
		if a.Seq < 1 || a.Seq > len(j.states) {
			return no(store.Unknown)
		}
		old := j.states[a.Seq-1]
		return j.append(store.NewState{Mark: a.New.First.Mark, Title: old.Title, Site: old.Site, Document: old.Document}, a.Based, a.Seq)
	case "copy":
		return w.copy(j, a.Order)
	case "retire":
		if a.Retirement.Back {
			j.Retired = nil
		} else if j.Retired == nil {
			j.Retired = &store.Retirement{When: a.Retirement.When, Who: a.Retirement.Who}
		}
		return answer{}
	case "put":
		return j.put(a.File)
	case "alternatives":
		return w.alternatives(j)
	}
	return j.tells(a)
}

// tells is what a job says that is asked and not changed.
func (j *wholeJob) tells(a act) answer {
	switch a.Do {
	case "get":
		return answer{Jobs: []store.Job{j.Job}}
	case "state":
		if a.Seq < 0 || a.Seq > len(j.states) {
			return no(store.Unknown)
		}
		if a.Seq == 0 {
			a.Seq = len(j.states)
		}
		return answer{State: j.states[a.Seq-1]}
	case "history":
		var out answer
		for i := len(j.states) - 1; i >= 0 && len(out.Entries) < a.Seq; i-- {
			if a.Based == 0 || i+1 < a.Based {
				out.Entries = append(out.Entries, j.states[i].Entry)
			}
		}
		return out
	case "files":
		var out answer
		for _, f := range j.files {
			out.Files = append(out.Files, f)
		}
		slices.SortFunc(out.Files, func(a, b store.File) int { return cmp.Compare(a.Name, b.Name) })
		return out
	case "read":
		f, there := j.files[a.File.Name]
		if !there {
			return no(store.Unknown)
		}
		return answer{Files: []store.File{f}, Raw: j.bytes[f.Name]}
	}
	return answer{}
}

// entryOf is a new state as it stands at seq.
func entryOf(s store.NewState, seq, restored int) store.State {
	e := store.Entry{Seq: seq, Mark: s.Mark, Title: s.Title, Site: s.Site, DocumentBytes: len(s.Document), Restored: restored}
	return store.State{Entry: e, Document: s.Document, Change: s.Change}
}

// sameState reports whether two states have the same content, when and number apart.
func sameState(a, b store.State) bool {
	return a.Who == b.Who && a.What == b.What && a.Title == b.Title && a.Site == b.Site && a.Restored == b.Restored &&
		string(a.Document) == string(b.Document) && string(a.Change) == string(b.Change)
}

func (w *whole) create(a act) answer {
	s := entryOf(a.New.First, 1, 0)
	if j := w.jobs[a.New.ID]; j != nil {
		if j.Parent != "" || j.states[0].ID != s.ID || !sameState(j.states[0], s) {
			return no(store.Clash)
		}
		return answer{Jobs: []store.Job{j.Job}}
	}
	return w.begin(store.Job{ID: a.New.ID, Group: a.New.ID}, s)
}

func (w *whole) begin(j store.Job, s store.State) answer {
	j.Title, j.Site, j.Created, j.Changed, j.Newest = s.Title, s.Site, s.When, s.When, 1
	w.jobs[j.ID] = &wholeJob{Job: j, states: []store.State{s}, files: map[string]store.File{}, bytes: map[string][]byte{}}
	return answer{Jobs: []store.Job{j}}
}

func (j *wholeJob) append(n store.NewState, based, restored int) answer {
	for _, was := range j.states {
		if was.ID != n.ID {
			continue
		}
		if n.Title == "" {
			n.Title, n.Site = was.Title, was.Site
		}
		if !sameState(was, entryOf(n, 0, restored)) {
			return no(store.Clash)
		}
		return answer{Seq: was.Seq}
	}
	if based != j.Newest {
		return answer{Kind: store.Conflict, Newest: j.Newest}
	}
	if n.Title == "" {
		n.Title, n.Site = j.Title, j.Site
	}
	j.Newest++
	j.Title, j.Site, j.Changed = n.Title, n.Site, n.When
	j.states = append(j.states, entryOf(n, j.Newest, restored))
	return answer{Seq: j.Newest}
}

func (w *whole) copy(from *wholeJob, o store.CopyOrder) answer {
	newest := from.states[len(from.states)-1]
	s := entryOf(store.NewState{Mark: o.Mark, Title: o.Title, Site: newest.Site, Document: newest.Document}, 1, 0)
	if j := w.jobs[o.ID]; j != nil {
		was := j.states[0]
		if was.ID != s.ID || j.Parent != from.ID || (j.Group == from.Group) != o.Alternative || was.Who != s.Who || was.What != s.What ||
			was.Title != s.Title {
			return no(store.Clash)
		}
		return answer{Jobs: []store.Job{j.Job}}
	}
	j := store.Job{ID: o.ID, Group: o.ID, Parent: from.ID, ParentSeq: from.Newest}
	if o.Alternative {
		j.Group = from.Group
	}
	out := w.begin(j, s)
	for name, f := range from.files {
		w.jobs[o.ID].files[name], w.jobs[o.ID].bytes[name] = f, from.bytes[name]
	}
	return out
}

func (j *wholeJob) put(n store.NewFile) answer {
	sum := sha256.Sum256(n.Bytes)
	f := store.File{Name: n.Name, MediaType: n.MediaType, When: n.When, Who: n.Who, Size: int64(len(n.Bytes)),
		SHA256: hex.EncodeToString(sum[:])}
	if was, there := j.files[n.Name]; there {
		if was.SHA256 != f.SHA256 || was.MediaType != f.MediaType {
			return no(store.Clash)
		}
		return answer{Files: []store.File{was}}
	}
	j.files[n.Name], j.bytes[n.Name] = f, n.Bytes
	return answer{Files: []store.File{f}}
}

// chosen are jobs in an order.
func (w *whole) chosen(keep func(*wholeJob) bool, order func(a, b store.Job) int) []store.Job {
	var out []store.Job
	for _, j := range w.jobs {
		if keep(j) {
			out = append(out, j.Job)
		}
	}
	slices.SortFunc(out, order)
	return out
}

func (w *whole) alternatives(of *wholeJob) answer {
	return answer{Jobs: w.chosen(func(j *wholeJob) bool { return j.Group == of.Group && (j.Retired == nil || j == of) },
		func(a, b store.Job) int { return cmp.Or(a.Created.Compare(b.Created), cmp.Compare(a.ID, b.ID)) })}
}

func (w *whole) list(ask store.Ask) answer {
	all := w.chosen(func(j *wholeJob) bool {
		in := strings.ToLower(j.Title + "\n" + j.Site)
		for _, word := range strings.Fields(strings.ToLower(ask.Text)) {
			if !strings.Contains(in, word) {
				return false
			}
		}
		return j.Retired == nil || ask.Retired
	}, func(a, b store.Job) int { return cmp.Or(b.Changed.Compare(a.Changed), cmp.Compare(a.ID, b.ID)) })
	from := min(ask.Page*ask.Size, len(all))
	return answer{Jobs: all[from:min(from+ask.Size, len(all))], Total: len(all)}
}
