package people

import (
	"context"
	"crypto/rand"
	"crypto/subtle"
	"encoding/base64"
	"fmt"
	"strings"

	"golang.org/x/crypto/argon2"
)

// Cost is what a guess at a password costs: RFC 9106, section 4.
type Cost struct {
	MemoryKiB, Passes uint32
	Lanes             uint8
}

// UsualCost is the second of the two that RFC 9106, section 4, recommends, for where memory is scarce: 64 MiB.
var UsualCost = Cost{MemoryKiB: 64 << 10, Passes: 3, Lanes: 4}

// hashesAtOnce are worked out at once, at 64 MiB each; more wait in line.
const hashesAtOnce = 2

const (
	saltBytes = 16
	keyBytes  = 32
)

// Hasher makes hashes of passwords by argon2id, as "$argon2id$v=19$m=65536,t=3,p=4$salt$key": ASVS 11.4.2.
type Hasher struct {
	cost  Cost
	slots chan struct{}
}

// NewHasher makes a hasher.
func NewHasher(cost Cost) *Hasher { return &Hasher{cost, make(chan struct{}, hashesAtOnce)} }

// Hash is the hash of a password with a salt of its own.
func (h *Hasher) Hash(ctx context.Context, password string) (string, error) {
	salt := make([]byte, saltBytes)
	rand.Read(salt) // never fails: crypto/rand ends the program instead
	key, err := h.key(ctx, password, salt, h.cost, keyBytes)
	if err != nil {
		return "", err
	}
	c := h.cost
	return fmt.Sprintf("$argon2id$v=%d$m=%d,t=%d,p=%d$%s$%s", argon2.Version, c.MemoryKiB, c.Passes, c.Lanes,
		base64.RawStdEncoding.EncodeToString(salt), base64.RawStdEncoding.EncodeToString(key)), nil
}

// Fits reports whether a password is the one of a hash, in the same time wherever they differ. An empty or broken hash is nobody's,
// and costs as much.
func (h *Hasher) Fits(ctx context.Context, password, hash string) (bool, error) {
	cost, salt, key, ok := readHash(hash)
	if !ok {
		cost, salt, key = h.cost, make([]byte, saltBytes), make([]byte, keyBytes)
	}
	got, err := h.key(ctx, password, salt, cost, uint32(len(key)))
	return err == nil && subtle.ConstantTimeCompare(got, key) == 1 && ok, err
}

// key works out a key in a slot.
func (h *Hasher) key(ctx context.Context, password string, salt []byte, c Cost, bytes uint32) ([]byte, error) {
	select {
	case <-ctx.Done():
		return nil, ctx.Err()
	case h.slots <- struct{}{}:
	}
	defer func() { <-h.slots }()
	return argon2.IDKey([]byte(password), salt, c.Passes, c.MemoryKiB, c.Lanes, bytes), nil
}

// readHash takes a hash apart.
func readHash(hash string) (c Cost, salt, key []byte, ok bool) {
	parts := strings.Split(hash, "$")
	if len(parts) != 6 || parts[0] != "" || parts[1] != "argon2id" || parts[2] != fmt.Sprintf("v=%d", argon2.Version) {
		return c, nil, nil, false
	}
	if _, err := fmt.Sscanf(parts[3], "m=%d,t=%d,p=%d", &c.MemoryKiB, &c.Passes, &c.Lanes); err != nil || c.Passes == 0 || c.Lanes == 0 {
		return c, nil, nil, false
	}
	salt, err := base64.RawStdEncoding.DecodeString(parts[4])
	if err != nil {
		return c, nil, nil, false
	}
	key, err = base64.RawStdEncoding.DecodeString(parts[5])
	return c, salt, key, err == nil && len(key) >= 16
}
