package work

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"sync"

	"github.com/fxamacker/cbor/v2"

	"gelwright/desk"
	"gelwright/programme"
	"gelwright/programme/works"
	"gelwright/store"
	"gelwright/weather"
)

// The work of a roof as stages is kept as CBOR (RFC 8949), numbers to their last bit. Films and limits, which many roofs have in common
// and which are most of it, are parts: kept once under the hash of their bytes.

// keptRoof is a roof as stages, as it is kept.
type keptRoof struct {
	Job    json.RawMessage
	Cup    string
	Passes []string
	Hours  programme.Hours
	Notes  []string
	Stages []keptStage
}

// keptStage is a stage as it is kept: what it says of itself, what it does not, and its parts by their hashes, empty for none.
type keptStage struct {
	programme.Stage
	EdgesMin                 float64
	NotAlone                 bool
	Film, Limits, LeadLimits []byte
}

// parts are those of roofs by their hashes, their bytes and what was read of them. They are not changed, and safe for concurrent use.
type parts struct {
	mu     sync.Mutex
	films  map[string]*programme.Film
	limits map[string]*weather.StageLimits
}

func newParts() *parts {
	return &parts{films: map[string]*programme.Film{}, limits: map[string]*weather.StageLimits{}}
}

// mostParts is how many parts a worker has in hand; they are read again when it has forgotten them.
const mostParts = 4096

// packWork packs the work of a roof; into has the bytes of its parts put by their hashes.
func packWork(w *desk.Worked, into map[string][]byte) ([]byte, error) {
	raw, err := json.Marshal(&w.Job)
	if err != nil {
		return nil, err
	}
	k := keptRoof{Job: raw, Cup: w.Cup, Passes: w.Passes, Hours: w.Work.Hours, Notes: w.Work.Notes}
	for i := range w.Work.Stages {
		s := &w.Work.Stages[i]
		x := keptStage{Stage: *s, EdgesMin: s.EdgesMin, NotAlone: s.NotAlone}
		if x.Film, err = packPart(s.Film, into); err != nil {
			return nil, err
		}
		if x.Limits, err = packPart(s.Limits, into); err != nil {
			return nil, err
		}
		if x.LeadLimits, err = packPart(s.LeadLimits, into); err != nil {
			return nil, err
		}
		k.Stages = append(k.Stages, x)
	}
	if raw, err = cbor.Marshal(&k); err != nil {
		return nil, err
	}
	packed, _, err := compressed(raw)
	return packed, err
}

// packPart packs a part and gives its hash; none for nil.
func packPart[T any](v *T, into map[string][]byte) ([]byte, error) {
	if v == nil {
		return nil, nil
	}
	raw, err := cbor.Marshal(v)
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256(raw)
	if name := hex.EncodeToString(sum[:]); into[name] == nil {
		into[name] = raw
	}
	return sum[:], nil
}

// unpackRoof reads what packWork packed, up to its parts.
func unpackRoof(packed []byte) (*keptRoof, error) {
	raw, err := uncompressed(packed)
	if err != nil {
		return nil, err
	}
	var k keptRoof
	if err := cbor.Unmarshal(raw, &k); err != nil {
		return nil, damagedWork(err)
	}
	return &k, nil
}

func damagedWork(err error) error {
	return &store.Error{Kind: store.Damaged, Place: "kept work of a roof", Found: "it cannot be read", Cause: err}
}

// missing are the hashes of parts of a roof that are not in hand.
func (p *parts) missing(k *keptRoof, into map[string]bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	for i := range k.Stages {
		s := &k.Stages[i]
		if name := hex.EncodeToString(s.Film); name != "" && p.films[name] == nil {
			into[name] = true
		}
		for _, hash := range [][]byte{s.Limits, s.LeadLimits} {
			if name := hex.EncodeToString(hash); name != "" && p.limits[name] == nil {
				into[name] = true
			}
		}
	}
}

// worked is a roof with its parts, those that are not in hand from read.
func (p *parts) worked(k *keptRoof, read map[string][]byte) (*desk.Worked, error) {
	out := &desk.Worked{Cup: k.Cup, Passes: k.Passes, Work: &works.Work{Hours: k.Hours, Notes: k.Notes}}
	if err := json.Unmarshal(k.Job, &out.Job); err != nil {
		return nil, damagedWork(err)
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if len(p.films)+len(p.limits) > mostParts {
		clear(p.films)
		clear(p.limits)
	}
	for i := range k.Stages {
		x := &k.Stages[i]
		s := x.Stage
		s.EdgesMin, s.NotAlone = x.EdgesMin, x.NotAlone
		var err error
		if s.Film, err = partOf(p.films, x.Film, read); err != nil {
			return nil, err
		}
		if s.Limits, err = partOf(p.limits, x.Limits, read); err != nil {
			return nil, err
		}
		if s.LeadLimits, err = partOf(p.limits, x.LeadLimits, read); err != nil {
			return nil, err
		}
		out.Work.Stages = append(out.Work.Stages, s)
	}
	return out, nil
}

// partOf is a part in hand, or read now.
func partOf[T any](in map[string]*T, hash []byte, read map[string][]byte) (*T, error) {
	if len(hash) == 0 {
		return nil, nil
	}
	name := hex.EncodeToString(hash)
	if v := in[name]; v != nil {
		return v, nil
	}
	raw := read[name]
	if raw == nil {
		return nil, damagedWork(fmt.Errorf("part %s is missing", name))
	}
	v := new(T)
	if err := cbor.Unmarshal(raw, v); err != nil {
		return nil, damagedWork(err)
	}
	in[name] = v
	return v, nil
}
