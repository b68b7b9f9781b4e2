package main

import (
	"bytes"
	"encoding/binary"
	"errors"
)

// A module of WebAssembly is magic, version and sections (WebAssembly core specification 2.0, §5.5).
const (
	moduleHead    = "\x00asm\x01\x00\x00\x00"
	sectionCustom = 0
	sectionData   = 11
)

// section is one part of a module.
type section struct {
	id   byte
	body []byte
}

var errModule = errors.New("this is no module of WebAssembly as Go's linker writes it")

// sections takes a module apart.
func sections(module []byte) ([]section, error) {
	rest, ok := bytes.CutPrefix(module, []byte(moduleHead))
	if !ok {
		return nil, errModule
	}
	var out []section
	for len(rest) > 0 {
		id := rest[0]
		size, n := binary.Uvarint(rest[1:])
		if n <= 0 || size > uint64(len(rest)-1-n) {
			return nil, errModule
		}
		end := 1 + n + int(size)
		out = append(out, section{id, rest[1+n : end]})
		rest = rest[end:]
	}
	return out, nil
}

// joined is the module of sections.
func joined(list []section) []byte {
	out := []byte(moduleHead)
	for _, s := range list {
		out = binary.AppendUvarint(append(out, s.id), uint64(len(s.body)))
		out = append(out, s.body...)
	}
	return out
}

// The head of a piece of data in memory 0: its memory, then its place as an expression.
const (
	opI32Const = 0x41
	opEnd      = 0x0b
)

// mostMemory is more than any engine begins with.
const mostMemory = 256 << 20

// memoryOf is the memory that a data section fills, from its first byte on.
func memoryOf(body []byte) ([]byte, error) {
	count, n := binary.Uvarint(body)
	if n <= 0 {
		return nil, errModule
	}
	body = body[n:]
	var memory []byte
	for range count {
		if len(body) < 2 || body[0] != 0 || body[1] != opI32Const {
			return nil, errModule
		}
		at, n := signed(body[2:])
		body = body[2+n:]
		if n == 0 || at < 0 || at > mostMemory || len(body) == 0 || body[0] != opEnd {
			return nil, errModule
		}
		size, n := binary.Uvarint(body[1:])
		if n <= 0 || size > uint64(len(body)-1-n) {
			return nil, errModule
		}
		body = body[1+n:]
		if end := int(at) + int(size); end > len(memory) {
			memory = append(memory, make([]byte, end-len(memory))...)
		}
		copy(memory[at:], body[:size])
		body = body[size:]
	}
	return memory, nil
}

// leastGap is how many zeroes in a row are left out: fewer cost less on the wire than the head of another piece.
const leastGap = 32

// dataOf is the data section that fills a memory, zeroes left out.
func dataOf(memory []byte) []byte {
	var pieces []byte
	count := uint64(0)
	for at := 0; at < len(memory); {
		if memory[at] == 0 {
			at++
			continue
		}
		end, zeroes := at, 0
		for end < len(memory) && zeroes < leastGap {
			if memory[end] == 0 {
				zeroes++
			} else {
				zeroes = 0
			}
			end++
		}
		piece := memory[at : end-zeroes]
		pieces = appendSigned(append(pieces, 0, opI32Const), int64(at))
		pieces = binary.AppendUvarint(append(pieces, opEnd), uint64(len(piece)))
		pieces = append(pieces, piece...)
		count++
		at = end
	}
	return append(binary.AppendUvarint(nil, count), pieces...)
}

// signed reads a signed number of LEB128; n is 0 where there is none.
func signed(b []byte) (v int64, n int) {
	for shift := 0; n < len(b) && shift < 64; shift += 7 {
		c := b[n]
		n++
		v |= int64(c&0x7f) << shift
		if c&0x80 == 0 {
			if c&0x40 != 0 && shift < 57 {
				v -= 1 << (shift + 7)
			}
			return v, n
		}
	}
	return 0, 0
}

// appendSigned writes one.
func appendSigned(b []byte, v int64) []byte {
	for {
		c := byte(v & 0x7f)
		v >>= 7
		if v == 0 && c&0x40 == 0 || v == -1 && c&0x40 != 0 {
			return append(b, c)
		}
		b = append(b, c|0x80)
	}
}
