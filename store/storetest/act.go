package storetest

import (
	"bytes"
	"context"
	"encoding/gob"
	"errors"
	"fmt"
	"io"

	"gelwright/store"
)

// act is one question to a store, as it goes to another process.
type act struct {
	Do         string
	Job        store.ID
	Seq, Based int
	New        store.NewJob
	Order      store.CopyOrder
	Retirement store.Retirement
	File       store.NewFile
	Ask        store.Ask
}

// answer is what a store said; of an error its kind alone, and what was newest.
type answer struct {
	Kind    store.Kind
	Newest  int
	Said    string
	Seq     int
	Jobs    []store.Job
	Total   int
	State   store.State
	Entries []store.Entry
	Files   []store.File
	Raw     []byte
}

// ask has a store do an act.
func (a *act) ask(ctx context.Context, s store.Store) answer {
	var out answer
	err := a.on(ctx, s, &out)
	if err == nil {
		return out
	}
	out = answer{Kind: store.KindOf(err), Said: err.Error()}
	if out.Kind == 0 {
		out.Kind = -1 // an error that is none of a store's
	}
	var e *store.Error
	if errors.As(err, &e) {
		out.Newest = e.Newest
	}
	return out
}

func (a *act) on(ctx context.Context, s store.Store, out *answer) (err error) {
	one := func(j store.Job, err error) error {
		out.Jobs = []store.Job{j}
		return err
	}
	switch a.Do {
	case "create":
		return one(s.Create(ctx, a.New))
	case "append":
		out.Seq, err = s.Append(ctx, a.Job, a.Based, a.New.First)
	case "restore":
		out.Seq, err = s.Restore(ctx, a.Job, a.Seq, a.Based, a.New.First.Mark)
	case "copy":
		return one(s.Copy(ctx, a.Job, a.Order))
	case "retire":
		err = s.Retire(ctx, a.Job, a.Retirement)
	case "put":
		var f store.File
		f, err = s.PutFile(ctx, a.Job, a.File)
		out.Files = []store.File{f}
	case "get":
		return one(s.Get(ctx, a.Job))
	case "list":
		var p store.Page
		p, err = s.List(ctx, a.Ask)
		out.Jobs, out.Total = p.Jobs, p.Total
	case "alternatives":
		out.Jobs, err = s.Alternatives(ctx, a.Job)
	case "state":
		out.State, err = s.StateAt(ctx, a.Job, a.Seq)
	case "history":
		out.Entries, err = s.History(ctx, a.Job, a.Based, a.Seq)
	case "files":
		out.Files, err = s.Files(ctx, a.Job)
	case "read":
		var f store.File
		f, out.Raw, err = s.ReadFile(ctx, a.Job, a.File.Name)
		out.Files = []store.File{f}
	case "export":
		var b bytes.Buffer
		err = s.Export(ctx, a.Job, &b)
		out.Seq = b.Len()
	default:
		err = fmt.Errorf("%q is no act", a.Do)
	}
	return err
}

// Serve has a store do the acts that come in, one after another, and sends what it said: the other end of Walk.
func Serve(s store.Store, in io.Reader, out io.Writer) error {
	acts, answers := gob.NewDecoder(in), gob.NewEncoder(out)
	for {
		var a act
		if err := acts.Decode(&a); err != nil {
			return err
		}
		if err := answers.Encode(a.ask(context.Background(), s)); err != nil {
			return err
		}
	}
}
