package store

import (
	"context"
	"io"
	"time"
)

// Store keeps jobs. Its methods may be called from many goroutines, and several processes may have one folder open: each sees
// what the others were told is done. A method gives back an *Error for what it refuses, and has then changed nothing; of one
// that is Full or Failed the caller cannot know: it asks again with the same id, which cannot do it twice.
type Store interface {
	// Create begins a job with its first state, which has number 1. Where the job's id is given and known here, it answers with
	// the job as it is now when its first state has the same ID and content, and refuses it as a Clash otherwise.
	Create(ctx context.Context, job NewJob) (Job, error)

	// Append adds a state to a job and returns its number. basedOn is the number of the state that it was made from: where that
	// is no longer the newest it is a Conflict, which carries the newest number. A state whose ID the job already has is
	// answered with the number that it has, whatever it is based on, when its content is the same (see State), and is a Clash
	// otherwise.
	Append(ctx context.Context, job ID, basedOn int, state NewState) (seq int, err error)

	// List gives jobs, the one changed last first, then by id.
	List(ctx context.Context, ask Ask) (Page, error)

	// Get gives a job as it stands.
	Get(ctx context.Context, job ID) (Job, error)

	// StateAt gives a state with its document; seq 0 is the newest.
	StateAt(ctx context.Context, job ID, seq int) (State, error)

	// History gives states without their documents, newest first: those with numbers below before (0: from the newest), at
	// most limit (1 to MostHistory; 0 is UsualPage).
	History(ctx context.Context, job ID, before, limit int) ([]Entry, error)

	// Restore appends a state that has document, title and site of the state seq, and no change; it returns its number.
	// basedOn and mark are as for Append: the same mark again, for the same seq, is answered as done.
	Restore(ctx context.Context, job ID, seq, basedOn int, mark Mark) (newSeq int, err error)

	// Copy begins a job with the newest document of another and its files, under the title and the mark that the order gives.
	// Its history begins there. With the order's id given it can be asked again, as Create can.
	Copy(ctx context.Context, job ID, order CopyOrder) (Job, error)

	// Alternatives gives the jobs of the group that a job belongs to, the job itself among them, in the order in which they
	// were made, then by id. Retired ones are left out, but for the job that is asked for.
	Alternatives(ctx context.Context, job ID) ([]Job, error)

	// Retire takes a job out of the list, or brings it back (Retirement.Back). It is kept whole and can be read and appended to.
	Retire(ctx context.Context, job ID, r Retirement) error

	// PutFile keeps a file of a job under a name. The same name with the same bytes is answered as done with what was kept; with
	// other bytes it is a Clash: nothing that was kept is written over.
	PutFile(ctx context.Context, job ID, file NewFile) (File, error)

	// ReadFile gives a file of a job with its bytes, which are held against their hash.
	ReadFile(ctx context.Context, job ID, name string) (File, []byte, error)

	// Files lists the files of a job by name.
	Files(ctx context.Context, job ID) ([]File, error)

	// Export writes a job whole as one zip file: every state, document and file, with a manifest of hashes. The same job gives
	// the same bytes. A job that is being changed is written as it was at one moment.
	Export(ctx context.Context, job ID, w io.Writer) error

	// Import reads what Export wrote, size bytes of it. The job keeps its id where that is unknown here; where it is known the
	// file becomes a job beside it, whose Parent it is. A file that is damaged, hostile or of a newer version is refused, and
	// nothing of it is kept.
	Import(ctx context.Context, r io.ReaderAt, size int64) (Job, error)

	// Close ends the use of the store.
	Close() error
}

// ID names a job: 128 random bits as 32 digits 0-9 a-f. A caller that must be able to ask again makes it itself (NewID).
type ID string

// Limits of what is kept.
const (
	MostDocumentBytes = 4 << 20  // a document, a change
	MostFileBytes     = 32 << 20 // a file or photo
	MostImportBytes   = 1 << 30  // an exported job as it comes, and twice that unpacked
	MostText          = 200      // letters of a title, a site, a name of a file, a who, a what
	MostStateID       = 64       // letters of a state's id
	MostHistory       = 1000     // states asked for at once
	MostPage          = 200      // jobs asked for at once
	UsualPage         = 50       // jobs or states given where no number is asked for
)

// Mark says by whom and when something was done.
type Mark struct {
	// ID is made by whoever makes the state, so that it can be sent again: 1 to MostStateID letters A-Z a-z 0-9 . _ -
	ID string `json:"id"`
	// When is the caller's time; it is kept to the millisecond, in UTC, years 1970 to 9999. Nothing is ordered by it but List.
	When time.Time `json:"when"`
	// Who is a person, a device or "this computer".
	Who string `json:"who"`
	// What was done, in a few words: "corner moved". It may be empty.
	What string `json:"what"`
}

// NewState is a state that is to be kept. Two states have the same content when who, what, title, site, document and change
// are the same; when is not part of it, so that a state can be sent again by a caller whose clock has gone on.
type NewState struct {
	Mark
	// Title and Site of the job as of this state; where both are empty they stay as they were. A site alone is refused.
	Title, Site string
	// Document is the whole document, JSON, at most MostDocumentBytes; it is given back byte for byte.
	Document []byte
	// Change is what led to it, JSON, at most MostDocumentBytes; empty where there is none.
	Change []byte
}

// NewJob is a job that is to begin; its first state has a title.
type NewJob struct {
	ID    ID // may be left empty
	First NewState
}

// Job is a job as it stands. Title, Site and Changed are those of its newest state.
type Job struct {
	ID      ID        `json:"id"`
	Title   string    `json:"title"`
	Site    string    `json:"site"`
	Created time.Time `json:"created"` // when of state 1
	Changed time.Time `json:"changed"`
	Newest  int       `json:"newest"` // number of the newest state, and of states: they are 1, 2, 3 …
	// Group is shared by the alternatives of one survey; of a job without any it is the job's own id.
	Group ID `json:"group"`
	// Parent and ParentSeq are the job and state that it was copied from; empty and 0 of others.
	Parent    ID  `json:"parent,omitempty"`
	ParentSeq int `json:"parentSeq,omitempty"`
	// Retired says when and by whom it was retired; nil where it is not.
	Retired *Retirement `json:"retired,omitempty"`
}

// Retirement says when and by whom a job is retired, or brought back.
type Retirement struct {
	When time.Time `json:"when"`
	Who  string    `json:"who"`
	Back bool      `json:"-"`
}

// Entry is a state without its document.
type Entry struct {
	Seq int `json:"seq"` // 1, 2, 3 … without a gap
	Mark
	Title         string `json:"title"`
	Site          string `json:"site"`
	DocumentBytes int    `json:"documentBytes"`
	// Restored is the number of the state whose document this one brought back; 0 of others.
	Restored int `json:"restored,omitempty"`
}

// State is a state with its document and change, byte for byte as they were given.
type State struct {
	Entry
	Document, Change []byte
}

// Ask is a question for jobs.
type Ask struct {
	// Text is words that must all stand in title or site, capitals or not; or the beginning of an id. Empty: all jobs.
	Text string
	// Page counts from 0; Size is jobs a page, 1 to MostPage, 0 is UsualPage.
	Page, Size int
	// Retired lists retired jobs too.
	Retired bool
}

// Page is a page of a list. Total counts the jobs of all pages.
type Page struct {
	Jobs  []Job `json:"jobs"`
	Total int   `json:"total"`
}

// CopyOrder says how a job is copied.
type CopyOrder struct {
	ID    ID     // of the new job; may be left empty
	Title string // of the new job
	Mark  Mark   // of its first state
	// Alternative puts the copy into the group of the job that it is copied from.
	Alternative bool
}

// NewFile is a file or photo that is to be kept.
type NewFile struct {
	Name      string // 1 to MostText letters, no path: no slash, backslash, colon or control letter, no dot or space at its ends
	MediaType string // as "image/jpeg"; type and subtype alone
	When      time.Time
	Who       string
	Bytes     []byte // at most MostFileBytes, which may be none
}

// File is a file that is kept.
type File struct {
	Name      string    `json:"name"`
	MediaType string    `json:"mediaType"`
	When      time.Time `json:"when"`
	Who       string    `json:"who"`
	Size      int64     `json:"size"`
	SHA256    string    `json:"sha256"` // of its bytes, 64 digits 0-9 a-f
}
