package postgres

import (
	"context"
	"testing"
	"time"

	"gelwright/internal/postgrestest"
	"gelwright/store"
	"gelwright/store/folder"
	"gelwright/store/tables"
)

// halting are files whose Put halts once the bytes lie there.
type halting struct {
	tables.Files
	lie, on chan bool
}

func (h *halting) Put(ctx context.Context, hash string, raw []byte) (bool, error) {
	made, err := h.Files.Put(ctx, hash, raw)
	h.lie <- true
	<-h.on
	return made, err
}

// TestWhatIsUndoneIsNotAnothersAtOnce has one change put bytes and be called off while another names the same: what the first takes
// away is not what the second was told is kept.
func TestWhatIsUndoneIsNotAnothersAtOnce(t *testing.T) {
	address, dir := postgrestest.New(t), t.TempDir()
	plainly := opened(t, address, dir)
	files, err := folder.Open(dir + "/files")
	if err != nil {
		t.Fatal(err)
	}
	slow := &halting{Files: files, lie: make(chan bool), on: make(chan bool)}
	halted, err := Open(t.Context(), address, slow, 0)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { halted.Close() })
	var jobs [2]store.ID
	for i := range jobs {
		j, err := plainly.Create(t.Context(), store.NewJob{First: stateOf("s1")})
		if err != nil {
			t.Fatal(err)
		}
		jobs[i] = j.ID
	}
	photo := store.NewFile{Name: "verge.jpg", MediaType: "image/jpeg", When: morning, Who: "phone", Bytes: []byte("the same pixels")}
	ctx, callOff := context.WithCancel(t.Context())
	first, second := make(chan error, 1), make(chan error, 1)
	go func() {
		_, err := halted.PutFile(ctx, jobs[0], photo)
		first <- err
	}()
	<-slow.lie
	go func() {
		_, err := plainly.PutFile(t.Context(), jobs[1], photo)
		second <- err
	}()
	// The second waits for the first, or else it has been told already.
	look := plain(t, address)
	for waits := 0; waits == 0 && len(second) == 0; time.Sleep(time.Millisecond) {
		if err := look.QueryRow("SELECT count(*) FROM pg_locks WHERE locktype = 'advisory' AND NOT granted").Scan(&waits); err != nil {
			t.Fatal(err)
		}
	}
	callOff()
	slow.on <- true
	if err := <-first; err == nil {
		t.Error("the first was called off and is told to be kept")
	}
	if err := <-second; err != nil {
		t.Fatal(err)
	}
	if _, raw, err := plainly.ReadFile(t.Context(), jobs[1], photo.Name); err != nil || string(raw) != string(photo.Bytes) {
		t.Errorf("what the second was told is kept: %q, %v", raw, err)
	}
}
