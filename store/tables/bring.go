package tables

import (
	"context"
	"slices"

	"gelwright/office"
	"gelwright/store"
)

// sheetsOfJob are what the office keeps of a job, each sheet in all its versions: the customers, sites and crews that any of them
// names, then the job's own sheet, then its days.
func sheetsOfJob(ctx context.Context, tx *Tx, id store.ID) ([]office.Record, error) {
	own, err := records(ctx, tx, "SELECT "+versionColumns+" FROM office_version v WHERE v.kind = ? AND v.id = ? ORDER BY v.version",
		string(office.KindJob), string(id))
	if err != nil {
		return nil, err
	}
	days, err := records(ctx, tx, "SELECT "+versionColumns+` FROM office_version v JOIN office_sheet s ON s.kind = v.kind AND s.id = v.id
		WHERE s.kind = ? AND s.job = ? ORDER BY v.id, v.version`, string(office.KindDay), string(id))
	if err != nil {
		return nil, err
	}
	own = append(own, days...)
	named := map[office.Kind][]store.ID{}
	for _, r := range own {
		k := r.Sheet.Keys()
		for kind, id := range map[office.Kind]store.ID{office.KindCustomer: k.Customer, office.KindSite: k.Site, office.KindCrew: k.Crew} {
			if id != "" && !slices.Contains(named[kind], id) {
				named[kind] = append(named[kind], id)
			}
		}
	}
	var out []office.Record
	for _, kind := range []office.Kind{office.KindCustomer, office.KindSite, office.KindCrew} {
		slices.Sort(named[kind])
		for _, id := range named[kind] {
			list, err := records(ctx, tx, "SELECT "+versionColumns+" FROM office_version v WHERE v.kind = ? AND v.id = ? ORDER BY v.version",
				string(kind), string(id))
			if err != nil {
				return nil, err
			}
			out = append(out, list...)
		}
	}
	return append(out, own...), nil
}

// bringing takes the office's sheets of a job in that is imported.
type bringing struct {
	tx  *Tx
	job *store.Job
	// beside: the job is kept here already, and what is imported becomes a job beside it.
	beside bool
	// who are the sheets here that customers, sites and crews of the file are, and the new ids of days.
	who map[store.ID]store.ID
}

// sheets keeps the sheets of a file by these rules. A customer, a site or a crew that is kept here under its id stays as it is here.
// One that says the same as a sheet here (a customer's name, telephone and mail, a site's name and address, a crew's name and mark) is
// that sheet. Any other is begun here with its history; a crew whose mark is another's here is put away. Where the job is kept here
// already its days come in with new ids and off the calendar, where they stand already.
func (b *bringing) sheets(ctx context.Context, list []office.Record) error {
	for first := 0; first < len(list); {
		end := first + 1
		for end < len(list) && list[end].ID == list[first].ID {
			end++
		}
		if err := b.sheet(ctx, list[first:end]); err != nil {
			return err
		}
		first = end
	}
	return nil
}

// sheet keeps the versions of one sheet.
func (b *bringing) sheet(ctx context.Context, versions []office.Record) error {
	newest := versions[len(versions)-1]
	id, err := b.idHere(ctx, &newest)
	if err != nil || id == "" {
		return err
	}
	for _, r := range versions {
		r.ID, r.Sheet = id, b.renamed(r.Sheet)
		// In its history a crew may bear a mark that is another's here.
		if crew, is := r.Sheet.(office.Crew); is && !crew.Away {
			if taken, err := b.taken(ctx, crew, id); err != nil {
				return err
			} else if taken {
				crew.Away = true
				r.Sheet = crew
			}
		}
		if err := addVersion(ctx, b.tx, &r); err != nil {
			return err
		}
		newest = r
	}
	if day, is := newest.Sheet.(office.Day); is && b.beside && !day.Off {
		day.Off = true
		newest.Version, newest.What, newest.Sheet = newest.Version+1, "taken off: the job was kept here already when it was imported", day
		return addVersion(ctx, b.tx, &newest)
	}
	return nil
}

// idHere is the id under which a sheet is kept here; empty where a sheet that is here stands for it.
func (b *bringing) idHere(ctx context.Context, r *office.Record) (store.ID, error) {
	switch r.Kind {
	case office.KindJob:
		return b.job.ID, nil
	case office.KindDay:
		if b.beside {
			return store.NewID(), nil
		}
		if _, err := sheetIn(ctx, b.tx, r.Kind, r.ID); err == nil {
			return store.NewID(), nil
		} else if store.KindOf(err) != store.Unknown {
			return "", err
		}
		return r.ID, nil
	}
	if _, err := sheetIn(ctx, b.tx, r.Kind, r.ID); err == nil {
		return "", nil
	} else if store.KindOf(err) != store.Unknown {
		return "", err
	}
	here, err := records(ctx, b.tx, "SELECT "+versionColumns+` FROM office_sheet s JOIN office_version v ON v.kind = s.kind AND v.id = s.id
		AND v.version = s.version WHERE s.kind = ? AND s.away = 0 ORDER BY s.id`, string(r.Kind))
	if err != nil {
		return "", err
	}
	for _, h := range here {
		if alike(h.Sheet, r.Sheet) {
			b.who[r.ID] = h.ID
			return "", nil
		}
	}
	return r.ID, nil
}

// alike reports whether two sheets of a kind are of the same customer, site or crew.
func alike(a, b office.Sheet) bool {
	switch x := a.(type) {
	case office.Customer:
		y, is := b.(office.Customer)
		return is && x.Name == y.Name && x.Telephone == y.Telephone && x.Mail == y.Mail && x.Telephone+x.Mail != ""
	case office.Site:
		y, is := b.(office.Site)
		return is && x.Name == y.Name && slices.Equal(x.Address, y.Address) && len(x.Address) > 0
	case office.Crew:
		y, is := b.(office.Crew)
		return is && x.Name == y.Name && office.Fold(x.Mark) == office.Fold(y.Mark)
	}
	return false
}

// taken reports whether the mark of a crew is another's here.
func (b *bringing) taken(ctx context.Context, crew office.Crew, id store.ID) (bool, error) {
	n := 0
	err := b.tx.QueryRowContext(ctx, "SELECT count(*) FROM office_sheet WHERE kind = ? AND mark = ? AND away = 0 AND id <> ?",
		string(office.KindCrew), office.Fold(crew.Mark), string(id)).Scan(&n)
	return n > 0, err
}

// renamed is a sheet that names what it names by the ids of here.
func (b *bringing) renamed(s office.Sheet) office.Sheet {
	here := func(id store.ID) store.ID {
		if x, ok := b.who[id]; ok {
			return x
		}
		return id
	}
	switch x := s.(type) {
	case office.Job:
		x.Customer, x.Site = here(x.Customer), here(x.Site)
		return x
	case office.Day:
		x.Job, x.Crew = b.job.ID, here(x.Crew)
		return x
	}
	return s
}
