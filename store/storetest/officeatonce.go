package storetest

import (
	"errors"
	"fmt"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"gelwright/office"
	"gelwright/store"
)

// testSheetsAtOnce has eight writers, half of them through a second opening, count one sheet up, each joining after it was
// overtaken: no step is lost.
func testSheetsAtOnce(t *testing.T, d *desk) {
	const writers, each = 8, 10
	id := store.NewID()
	d.put(id, 0, office.Site{Name: "Mill", Note: "0"}, "begun")
	second := d.second()
	var all sync.WaitGroup
	fails := make(chan error, writers)
	for w := range writers {
		o := d.o
		if w%2 == 1 {
			o = second
		}
		all.Go(func() { fails <- d.countUp(o, id, w, each) })
	}
	all.Wait()
	close(fails)
	for err := range fails {
		d.must(err)
	}
	got, err := d.o.Sheet(d.ctx, office.KindSite, id)
	d.must(err)
	if n := got.Sheet.(office.Site).Note; n != fmt.Sprint(writers*each) || got.Version != 1+writers*each {
		t.Errorf("counted to %s in version %d, want %d", n, got.Version, writers*each)
	}
}

func (d *desk) countUp(o Office, id store.ID, w, each int) error {
	for i := range each {
		for {
			now, err := o.Sheet(d.ctx, office.KindSite, id)
			if err != nil {
				return err
			}
			s := now.Sheet.(office.Site)
			var n int
			if _, err := fmt.Sscan(s.Note, &n); err != nil {
				return err
			}
			s.Note = fmt.Sprint(n + 1)
			_, err = o.Put(d.ctx, office.Change{ID: id, BasedOn: now.Version, When: Day, Who: fmt.Sprint("writer ", w),
				What: fmt.Sprint("step ", i), Sheet: s})
			if err == nil {
				break
			}
			if !errors.As(err, new(*office.Overtaken)) {
				return err
			}
		}
		if _, err := o.Search(d.ctx, office.Question{Text: "mill step"}); err != nil {
			return err
		}
	}
	return nil
}

// testSheetsModel draws changes of one sheet on a store opened twice and holds each answer against a list.
func testSheetsModel(t *testing.T, d *desk) {
	second := d.second()
	rapid.Check(t, func(rt *rapid.T) {
		id := store.NewID()
		var kept []office.Change
		rt.Repeat(map[string]func(*rapid.T){
			"put": func(rt *rapid.T) {
				o := rapid.SampledFrom([]Office{d.o, second}).Draw(rt, "store")
				based := max(0, len(kept)-rapid.SampledFrom([]int{0, 0, 0, 1, 2}).Draw(rt, "behind"))
				c := office.Change{ID: id, BasedOn: based, When: Day, Who: rapid.SampledFrom([]string{"Asha", "Bo"}).Draw(rt, "who"), What: "changed",
					Sheet: office.Filled(office.Customer{Name: rapid.SampledFrom([]string{"A", "B"}).Draw(rt, "name")})}
				r, err := o.Put(d.ctx, c)
				same := based < len(kept) && kept[based].Who == c.Who && cmp.Equal(kept[based].Sheet, c.Sheet)
				switch {
				case based == len(kept):
					if err != nil || r.Version != based+1 {
						rt.Fatalf("based on the newest: %+v, %v", r, err)
					}
					kept = append(kept, c)
				case same:
					if err != nil || r.Version != based+1 {
						rt.Fatalf("asked again: %+v, %v", r, err)
					}
				case store.KindOf(err) != store.Conflict:
					rt.Fatalf("overtaken: %+v, %v", r, err)
				}
			},
			"": func(rt *rapid.T) {
				if len(kept) == 0 {
					return
				}
				list, err := second.Versions(d.ctx, office.KindCustomer, id, store.MostHistory)
				if err != nil || len(list) != len(kept) {
					rt.Fatalf("%d versions, want %d, %v", len(list), len(kept), err)
				}
				for i, r := range list {
					if want := kept[len(kept)-1-i]; !want.Same(&r) {
						rt.Fatalf("version %d is %+v, want %+v", r.Version, r, want)
					}
				}
			},
		})
	})
}
