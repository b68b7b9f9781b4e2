package unit

import (
	"math"
	"strconv"
)

// Decimal reads a number as people write one: a sign, digits with at most one point, and an
// exponent. What a program might read besides (octal, hexadecimal, binary, digits parted by
// underscores, infinity, NaN) is no number here.
func Decimal(text string) (float64, bool) {
	whole, rest := digits(unsigned(text))
	part := 0
	if rest != "" && rest[0] == '.' {
		part, rest = digits(rest[1:])
	}
	if whole+part == 0 {
		return 0, false
	}
	if rest != "" && (rest[0] == 'e' || rest[0] == 'E') {
		power := 0
		if power, rest = digits(unsigned(rest[1:])); power == 0 {
			return 0, false
		}
	}
	if rest != "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(text, 64)
	return v, err == nil && !math.IsInf(v, 0)
}

// unsigned is a text without the sign before it.
func unsigned(text string) string {
	if text != "" && (text[0] == '+' || text[0] == '-') {
		return text[1:]
	}
	return text
}

// digits counts the figures that a text begins with, and returns what follows them.
func digits(text string) (n int, rest string) {
	for n < len(text) && text[n] >= '0' && text[n] <= '9' {
		n++
	}
	return n, text[n:]
}
