// Command fails does what the tables of functions are read for: it lets stacks grow and collects garbage under them, calls through
// reflect, recovers, and fails in the end.
package main

import (
	"errors"
	"fmt"
	"reflect"
	"runtime"
	"strings"
)

type deck struct{ n int }

// Deep goes down, collects, and comes up again with what it kept on the way.
func (d deck) Deep(n int, s string) (string, int) {
	if n == 0 {
		runtime.GC()
		return strings.ToUpper(s), d.n
	}
	kept := new([256]byte)
	kept[n%256] = 1
	out, sum := d.Deep(n-1, s)
	return out, sum + int(kept[n%256])
}

func caught(f func()) (out any) {
	defer func() { out = recover() }()
	f()
	return nil
}

func main() {
	method := reflect.ValueOf(deck{3}).MethodByName("Deep").Interface().(func(int, string) (string, int))
	fmt.Println(method(5000, "roof"))
	made := reflect.MakeFunc(reflect.TypeOf(method), func(in []reflect.Value) []reflect.Value {
		runtime.GC()
		text, _ := deck{1}.Deep(2000, in[1].String())
		return []reflect.Value{reflect.ValueOf(text), in[0]}
	}).Interface().(func(int, string) (string, int))
	fmt.Println(made(7, "deck"))
	fmt.Println(caught(func() { var d *deck; fmt.Println(d.n) }))
	fmt.Println(caught(func() { a := []int{1}; fmt.Println(a[len(a)]) }))
	fmt.Println(caught(func() { panic(errors.New("of its own")) }))
	done := make(chan int)
	for i := range 50 {
		go func() {
			_, n := deck{i}.Deep(300, "x")
			done <- n
		}()
	}
	sum := 0
	for range 50 {
		sum += <-done
	}
	fmt.Println(sum)
	panic("at the end")
}
