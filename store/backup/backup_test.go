package backup_test

import (
	"bytes"
	"context"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"testing"
	"time"

	"gelwright/internal/postgrestest"
	_ "gelwright/internal/steady"
	"gelwright/office"
	"gelwright/store"
	"gelwright/store/backup"
	"gelwright/store/folder"
	"gelwright/store/postgres"
	"gelwright/store/sqlite"
	"gelwright/store/tables"
)

var morning = time.Date(2026, 5, 20, 7, 30, 0, 123e6, time.UTC)

// inFolder and onServer open an empty store; version 0 is the newest.
func inFolder(t *testing.T, version int) *tables.DB {
	t.Helper()
	db, err := sqlite.OpenAt(t.Context(), t.TempDir(), nil, version)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	return db.DB
}

func onServer(t *testing.T, version int) *tables.DB {
	t.Helper()
	files, err := folder.Open(filepath.Join(t.TempDir(), "files"))
	if err != nil {
		t.Fatal(err)
	}
	db, err := postgres.Open(t.Context(), postgrestest.New(t), files, version)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	return db.DB
}

var places = map[string]func(*testing.T, int) *tables.DB{"SQLite": inFolder, "PostgreSQL": onServer}

// worked puts jobs with all that a job may have into a store.
func worked(t *testing.T, db *tables.DB, jobs int) {
	t.Helper()
	draw := rand.New(rand.NewPCG(20261, 5))
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	for n := range jobs {
		mark := func(id string) store.Mark {
			return store.Mark{ID: id, When: morning.Add(time.Duration(draw.IntN(1e9)) * time.Millisecond), Who: "Öl & <Harz> \u2028 'x'", What: "corner moved"}
		}
		j, err := db.Create(t.Context(), store.NewJob{First: store.NewState{Mark: mark("s1"), Title: fmt.Sprint("Garage ", n), Site: "Ödenweiler \"1\"",
			Document: fmt.Appendf(nil, `{"deck": %d}`, n%3)}})
		must(err)
		for seq := 1; seq < 1+draw.IntN(5); seq++ {
			_, err := db.Append(t.Context(), j.ID, seq, store.NewState{Mark: mark(fmt.Sprint("a", seq)), Document: fmt.Appendf(nil, `[%d]`, draw.IntN(20)),
				Change: []byte(`{"kind": "moved"}`)})
			must(err)
		}
		_, err = db.PutFile(t.Context(), j.ID, store.NewFile{Name: "Öl.jpg", MediaType: "image/jpeg", When: morning, Who: "phone",
			Bytes: bytes.Repeat([]byte{byte(n), 0, 0xff}, draw.IntN(3000))})
		must(err)
		sheet := office.Change{ID: store.NewID(), When: morning, Who: "Asha", What: "begun",
			Sheet: office.Customer{Name: fmt.Sprint("Ada Quill ", n), Address: []string{"1 Lane", "Öl \\ <Mill>"}}}
		for sheet.BasedOn = range 2 {
			sheet.What += "."
			_, err := db.Put(t.Context(), sheet)
			must(err)
		}
		if n == 0 {
			// A service that has never answered has an answer of no bytes, which is not none.
			must(db.Change(t.Context(), func(tx *tables.Tx) error {
				_, err := tx.ExecContext(t.Context(), "INSERT INTO weather_answer (address, place, etag, last_modified, fetched_ms, expires_ms, packed, "+
					"failures, wait_ms) VALUES ('https://weather.example', 'here', '', '', 0, 0, ?, 1, 60000) ON CONFLICT DO NOTHING", []byte{})
				return err
			}))
		}
		if n%3 == 0 {
			_, err := db.Copy(t.Context(), j.ID, store.CopyOrder{Title: "Another", Mark: mark("c"), Alternative: n%2 == 0})
			must(err)
			must(db.Retire(t.Context(), j.ID, store.Retirement{When: morning, Who: "phone"}))
		}
	}
}

// written is a store as a backup.
func written(t *testing.T, db *tables.DB) []byte {
	t.Helper()
	var out bytes.Buffer
	if _, err := backup.Write(t.Context(), db, &out); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// restored is a store that is filled from a backup.
func restored(t *testing.T, raw []byte, place func(*testing.T, int) *tables.DB) *tables.DB {
	t.Helper()
	r, err := backup.Read(t.Context(), bytes.NewReader(raw), int64(len(raw)))
	if err != nil {
		t.Fatal(err)
	}
	db := place(t, r.Version)
	if err := r.Restore(t.Context(), db); err != nil {
		t.Fatal(err)
	}
	return db
}

// TestThereAndBack moves a store from SQLite to PostgreSQL and back, and the other way round: the backups are equal to the last
// byte, each job is exported alike, and each store goes on.
func TestThereAndBack(t *testing.T) {
	for name, way := range map[string][]func(*testing.T, int) *tables.DB{"from SQLite": {inFolder, onServer, inFolder},
		"from PostgreSQL": {onServer, inFolder, onServer}} {
		t.Run(name, func(t *testing.T) {
			first := way[0](t, 0)
			worked(t, first, 12)
			was := written(t, first)
			jobs, err := first.List(t.Context(), store.Ask{Retired: true})
			if err != nil || len(jobs.Jobs) != 16 {
				t.Fatalf("%d jobs, %v", len(jobs.Jobs), err)
			}
			var exported bytes.Buffer
			if err := first.Export(t.Context(), jobs.Jobs[3].ID, &exported); err != nil {
				t.Fatal(err)
			}
			raw := was
			for _, place := range way[1:] {
				db := restored(t, raw, place)
				if raw = written(t, db); !bytes.Equal(raw, was) {
					t.Fatalf("%d bytes, %d before: they differ", len(raw), len(was))
				}
				var again bytes.Buffer
				if err := db.Export(t.Context(), jobs.Jobs[3].ID, &again); err != nil || !bytes.Equal(again.Bytes(), exported.Bytes()) {
					t.Errorf("a job is exported otherwise, %v", err)
				}
				worked(t, db, 2) // new texts go on behind the numbers that were brought
			}
		})
	}
}

// TestAnEmptyPlaceAlone restores where something is kept: it is refused and stays.
func TestAnEmptyPlaceAlone(t *testing.T) {
	source := inFolder(t, 0)
	worked(t, source, 3)
	raw := written(t, source)
	for name, place := range places {
		db := place(t, 0)
		worked(t, db, 1)
		was := written(t, db)
		r, err := backup.Read(t.Context(), bytes.NewReader(raw), int64(len(raw)))
		if err != nil {
			t.Fatal(err)
		}
		if err := r.Restore(t.Context(), db); store.KindOf(err) != store.Clash {
			t.Errorf("%s: %v", name, err)
		}
		if !bytes.Equal(written(t, db), was) {
			t.Errorf("%s: it was changed", name)
		}
	}
}

// TestDamaged cuts a backup short and changes a bit of it, everywhere: it is refused, or has the same content all the same.
func TestDamaged(t *testing.T) {
	source := inFolder(t, 0)
	worked(t, source, 2)
	raw := written(t, source)
	whole, err := backup.Read(t.Context(), bytes.NewReader(raw), int64(len(raw)))
	if err != nil {
		t.Fatal(err)
	}
	refused, asked, every := 0, 0, 1
	if testing.Short() {
		every = 11
	}
	for at := 0; at < len(raw); at += every {
		asked++
		if _, err := backup.Read(t.Context(), bytes.NewReader(raw[:at]), int64(at)); store.KindOf(err) != store.Damaged {
			t.Fatalf("cut at %d: %v", at, err)
		}
		changed := bytes.Clone(raw)
		changed[at] ^= 1 << (at % 8)
		r, err := backup.Read(t.Context(), bytes.NewReader(changed), int64(len(changed)))
		switch k := store.KindOf(err); {
		case k == store.Damaged || k == store.Newer:
			refused++
		case err != nil:
			t.Fatalf("changed at %d: %v", at, err)
		case fmt.Sprint(r.Tables, r.Files) != fmt.Sprint(whole.Tables, whole.Files):
			// Only a word of the manifest itself is not held by a hash: what it names is held by the store's own columns.
			if err := r.Restore(t.Context(), inFolder(t, 0)); err == nil {
				t.Fatalf("changed at %d it was taken as something else: %v", at, r.Tables)
			}
		}
	}
	if refused < asked*3/4 {
		t.Errorf("%d of %d changes were refused", refused, asked)
	}
}

// TestWhileOthersWriteAtOnce takes backups while states and files are added: each is as the store was at one moment.
func TestWhileOthersWriteAtOnce(t *testing.T) {
	for name, place := range places {
		t.Run(name, func(t *testing.T) {
			db := place(t, 0)
			j, err := db.Create(t.Context(), store.NewJob{First: store.NewState{Mark: store.Mark{ID: "s1", When: morning, Who: "phone"}, Title: "Garage",
				Document: []byte("1")}})
			if err != nil {
				t.Fatal(err)
			}
			ctx, stop := context.WithCancel(t.Context())
			ended := make(chan error)
			go func() {
				for seq := 2; ; seq++ {
					mark := store.Mark{ID: fmt.Sprint("s", seq), When: morning, Who: "phone"}
					_, err := db.Append(ctx, j.ID, seq-1, store.NewState{Mark: mark, Document: fmt.Append(nil, seq)})
					if err == nil {
						_, err = db.PutFile(ctx, j.ID, store.NewFile{Name: fmt.Sprint(seq), MediaType: "a/b", When: morning, Who: "phone", Bytes: fmt.Append(nil, seq)})
					}
					if err != nil {
						ended <- err
						return
					}
				}
			}()
			for range 5 {
				copied := restored(t, written(t, db), inFolder)
				there, err := copied.Get(t.Context(), j.ID)
				if err != nil {
					t.Fatal(err)
				}
				history, err := copied.History(t.Context(), j.ID, 0, store.MostHistory)
				files, err2 := copied.Files(t.Context(), j.ID)
				if err != nil || err2 != nil || len(history) != there.Newest || len(files) > there.Newest || len(files) < there.Newest-2 {
					t.Errorf("%d states of %d, %d files, %v %v", len(history), there.Newest, len(files), err, err2)
				}
			}
			stop()
			if err := <-ended; ctx.Err() == nil {
				t.Error(err)
			}
		})
	}
}

// TestCalledOff calls a restoring off in its middle: nothing is kept, and it can be done again.
func TestCalledOff(t *testing.T) {
	source := inFolder(t, 0)
	worked(t, source, 12)
	raw := written(t, source)
	r, err := backup.Read(t.Context(), bytes.NewReader(raw), int64(len(raw)))
	if err != nil {
		t.Fatal(err)
	}
	for name, place := range places {
		db := place(t, 0)
		draw := rand.New(rand.NewPCG(20261, 8))
		for range 5 {
			ctx, stop := context.WithTimeout(t.Context(), time.Duration(draw.IntN(40))*time.Millisecond)
			err := r.Restore(ctx, db)
			stop()
			if err == nil {
				break // it was done sooner
			}
			jobs, err := db.List(t.Context(), store.Ask{Retired: true})
			if err != nil || jobs.Total != 0 && jobs.Total != 16 {
				t.Fatalf("%s: %d jobs after it was called off, %v", name, jobs.Total, err)
			}
			if jobs.Total == 16 { // only the comparison was called off
				break
			}
		}
		if jobs, err := db.List(t.Context(), store.Ask{}); err == nil && jobs.Total == 0 {
			if err := r.Restore(t.Context(), db); err != nil {
				t.Errorf("%s: %v", name, err)
			}
		}
		if !bytes.Equal(written(t, db), raw) {
			t.Errorf("%s: it is not the backup", name)
		}
	}
}

// FuzzRead gives anything: it is refused as damaged or newer, or it is a whole backup.
func FuzzRead(f *testing.F) {
	dir := f.TempDir()
	db, err := sqlite.Open(f.Context(), dir)
	if err != nil {
		f.Fatal(err)
	}
	defer db.Close()
	var raw bytes.Buffer
	if _, err := backup.Write(f.Context(), db.DB, &raw); err != nil {
		f.Fatal(err)
	}
	f.Add(raw.Bytes())
	f.Add(raw.Bytes()[:raw.Len()/2])
	f.Add([]byte("no zip"))
	f.Fuzz(func(t *testing.T, raw []byte) {
		_, err := backup.Read(t.Context(), bytes.NewReader(raw), int64(len(raw)))
		if k := store.KindOf(err); err != nil && k != store.Damaged && k != store.Newer {
			t.Fatalf("refused as of kind %d: %v", k, err)
		}
	})
}
