package steps

import (
	"container/list"
	"maps"
	"sync"
)

// Cache keeps the outputs of steps. It is safe for concurrent use; make it with NewCache.
type Cache struct {
	mu   sync.Mutex
	most int
	// used holds the kept outputs, that asked for last in front.
	used *list.List
	at   map[Key]*list.Element
	runs map[string]int
}

type kept struct {
	key Key
	out any
}

// NewCache returns a cache of at most so many outputs, at least one. A roof of one deck has
// some twenty steps, every further deck ten.
func NewCache(most int) *Cache {
	return &Cache{most: max(1, most), used: list.New(), at: map[Key]*list.Element{}, runs: map[string]int{}}
}

// Runs says how often each step has run, by its name; one whose output was kept has not.
func (c *Cache) Runs() map[string]int {
	c.mu.Lock()
	defer c.mu.Unlock()
	return maps.Clone(c.runs)
}

// Len is how many outputs are kept.
func (c *Cache) Len() int {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.used.Len()
}

func (c *Cache) find(k Key) (any, bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	e, ok := c.at[k]
	if !ok {
		return nil, false
	}
	c.used.MoveToFront(e)
	return e.Value.(kept).out, true
}

func (c *Cache) keep(k Key, out any) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if e, ok := c.at[k]; ok {
		c.used.MoveToFront(e)
		return
	}
	c.at[k] = c.used.PushFront(kept{k, out})
	for c.used.Len() > c.most {
		last := c.used.Back()
		delete(c.at, last.Value.(kept).key)
		c.used.Remove(last)
	}
}

func (c *Cache) ran(name string) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.runs[name]++
}
