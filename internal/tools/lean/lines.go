package main

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"iter"
	"slices"
)

// What Go's linker writes of every function and its runtime reads (runtime/symtab.go, runtime/symtabinl.go and runtime/runtime2.go
// of Go 1.26, the structs pcHeader, moduledata, _func and inlinedCall; internal/abi/symtab.go for the numbers of the tables).
const (
	// The head of the tables, and in the module's own record, by words of eight bytes: the parts of the tables, each with its
	// length and capacity, and where what goes with functions begins.
	headWords, headParts      = 9, 4
	moduleParts, moduleGofunc = 1, 40

	// A function's record.
	funcName, funcSP, funcFile, funcLine = 4, 16, 20, 24
	funcTables, funcUnit, funcStart      = 28, 32, 36
	funcData, funcSize                   = 43, 44

	// Tables by place in a function that only printing asks for, or stopping a thread wherever it is, which WebAssembly cannot;
	// and the one of calls that were inlined.
	tableUnsafe, tableInlined, tableArgsAlive = 0, 2, 3
	dataInlined, dataArgs, dataArgsAlive      = 3, 5, 6

	// A call that was inlined.
	inlinedName, inlinedStart, inlinedSize = 4, 12, 16

	none = 0xffffffff
)

// head is how the tables begin: Go 1.20's number, places one byte apart, pointers of eight bytes.
var head = []byte{0xf1, 0xff, 0xff, 0xff, 0, 0, 1, 8}

// asked are the functions that the runtime tells by their names (runtime/stkframe.go).
var asked = []string{"reflect.makeFuncStub", "reflect.methodValueCall"}

var errLines = errors.New("the tables of functions are not as Go 1.26 writes them")

var order = binary.LittleEndian

// lines are the tables of functions in a memory.
type lines struct {
	// Names of functions; which files a unit has; names of files; values by place; records of functions.
	names, units, files, values, records []byte
	// data goes with functions: stack maps, calls that were inlined.
	data  []byte
	count int
	// used are the values that stay.
	used []bool
}

// linesOf finds the tables in a memory: the head, and a module's own record, which begins with the place of the head. A number may
// look like either by chance; the tables are where both tell of the same parts.
func linesOf(memory []byte) (*lines, error) {
	for at := range places(memory, head) {
		for self := range places(memory, order.AppendUint64(nil, uint64(at))) {
			if l := linesAt(memory, at, self); l != nil {
				return l, nil
			}
		}
	}
	return nil, errLines
}

// places are where some bytes stand in a memory.
func places(memory, some []byte) iter.Seq[int] {
	return func(yield func(int) bool) {
		for at := 0; ; at++ {
			next := bytes.Index(memory[at:], some)
			if next < 0 || !yield(at+next) {
				return
			}
			at += next
		}
	}
}

// linesAt are the tables by a head and a record; nil where these are none.
func linesAt(memory []byte, at, self int) *lines {
	if at+8*headWords > len(memory) || self+8*(moduleGofunc+1) > len(memory) {
		return nil
	}
	word := func(at, k int) uint64 { return order.Uint64(memory[at+8*k:]) }
	l := &lines{count: int(word(at, 1))}
	for k, part := range []struct {
		to   *[]byte
		each uint64
	}{{&l.names, 1}, {&l.units, 4}, {&l.files, 1}, {&l.values, 1}, {&l.records, 1}} {
		from, size := word(self, moduleParts+3*k), word(self, moduleParts+3*k+1)*part.each
		if from != uint64(at)+word(at, headParts+k) || from > uint64(len(memory)) || size > uint64(len(memory))-from {
			return nil
		}
		*part.to = memory[from : from+size]
	}
	from := word(self, moduleGofunc)
	if from < uint64(at) || from > uint64(len(memory)) || len(l.records) < 8*l.count+4 {
		return nil
	}
	l.data = memory[from:]
	l.used = make([]bool, len(l.values))
	return l
}

// blank takes out of the tables all that serves only to print where a program is.
func (l *lines) blank() error {
	for k := range l.count {
		if err := l.function(l.records[min(int(order.Uint32(l.records[8*k+4:])), len(l.records)):]); err != nil {
			return fmt.Errorf("function %d of %d: %w", k, l.count, err)
		}
	}
	for i := range l.values {
		if !l.used[i] {
			l.values[i] = 0
		}
	}
	names := slices.Clone(l.names)
	clear(l.names)
	for _, name := range asked {
		if at := bytes.Index(names, []byte("\x00"+name+"\x00")); at >= 0 {
			copy(l.names[at+1:], name)
		}
	}
	clear(l.units)
	clear(l.files)
	return nil
}

// function blanks the record of one.
func (l *lines) function(record []byte) error {
	if len(record) < funcSize {
		return errLines
	}
	tables, data := int(order.Uint32(record[funcTables:])), int(record[funcData])
	if tables > 16 || data > 16 || len(record) < funcSize+4*(tables+data) {
		return errLines
	}
	if !slices.Contains(asked, l.name(order.Uint32(record[funcName:]))) {
		clear(record[funcName : funcName+4])
	}
	for _, at := range []int{funcFile, funcLine, funcUnit, funcStart, funcSize + 4*tableUnsafe, funcSize + 4*tableArgsAlive} {
		if at < funcSize+4*tables {
			clear(record[at : at+4])
		}
	}
	own := record[funcSize+4*tables:]
	for _, k := range []int{dataArgs, dataArgsAlive} {
		if k < data {
			order.PutUint32(own[4*k:], none)
		}
	}
	if _, err := l.keep(order.Uint32(record[funcSP:])); err != nil {
		return err
	}
	inlined := int32(-1)
	for k := range tables {
		most, err := l.keep(order.Uint32(record[funcSize+4*k:]))
		if err != nil {
			return err
		}
		if k == tableInlined {
			inlined = most
		}
	}
	if dataInlined >= data {
		return nil
	}
	return l.inlined(order.Uint32(own[4*dataInlined:]), int(inlined)+1)
}

// name is a function's.
func (l *lines) name(at uint32) string {
	text, _, _ := bytes.Cut(l.names[min(int(at), len(l.names)):], []byte{0})
	return string(text)
}

// inlined blanks so many calls that were inlined.
func (l *lines) inlined(at uint32, count int) error {
	if at == none {
		return nil
	}
	if int(at)+count*inlinedSize > len(l.data) {
		return errLines
	}
	for call := range slices.Chunk(l.data[at:int(at)+count*inlinedSize], inlinedSize) {
		clear(call[inlinedName : inlinedName+4])
		clear(call[inlinedStart : inlinedStart+4])
	}
	return nil
}

// keep leaves the values of a table as they are and gives the greatest of them: pairs of a step of the value, its sign in the
// lowest bit, and a step of the place, until a step of the value is nothing; the first may be.
func (l *lines) keep(from uint32) (most int32, err error) {
	most = -1
	if from == 0 {
		return most, nil
	}
	at, value := int(from), int32(-1)
	next := func() (uint32, bool) {
		if at >= len(l.values) {
			return 0, false
		}
		v, n := binary.Uvarint(l.values[at:])
		if n <= 0 {
			return 0, false
		}
		for range n {
			l.used[at] = true
			at++
		}
		return uint32(v), true
	}
	for first := true; ; first = false {
		step, ok := next()
		if !ok {
			return most, errLines
		}
		if step == 0 && !first {
			return most, nil
		}
		value += int32(-(step & 1) ^ (step >> 1))
		most = max(most, value)
		if _, ok = next(); !ok {
			return most, errLines
		}
	}
}
