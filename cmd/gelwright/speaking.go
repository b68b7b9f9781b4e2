package main

import (
	"bytes"
	"io"
	"os"
	"regexp"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"gelwright/language"
	"gelwright/language/known"
	"gelwright/roof"
)

// languageVariable names the language of answers where --language does not: a crew's computer is set once.
const languageVariable = "GELWRIGHT_LANGUAGE"

// answers are the commands whose words are said in the language of whoever asks. The others write files, serve, or speak to
// whoever runs a server.
var answers = map[string]bool{"plan": true, "papers": true, "check": true, "when": true, "now": true, "dose": true, "cure": true,
	"cut": true, "learn": true, "survey": true, "morning": true}

// speakerFor says the answers of a command; nil for English, for JSON, and for commands that are no answers.
func speakerFor(cmd *cobra.Command) *language.Speaker {
	if cmd == nil || !answers[cmd.Name()] {
		return nil
	}
	if f := cmd.Flags().Lookup("json"); f != nil && f.Changed {
		return nil
	}
	code := os.Getenv(languageVariable)
	if f := cmd.Flags().Lookup("language"); f != nil && f.Changed {
		code = f.Value.String()
	}
	return language.NewSpeaker(known.Catalogue(code))
}

// addAnswerLanguage adds --language to a command that makes no papers.
func addAnswerLanguage(f *pflag.FlagSet) {
	f.String("language", "", "language of the answer, "+strings.Join(language.Codes(), " or ")+"; else what "+languageVariable+" says")
}

// answerIn has a command's words said in the language that is asked for.
func answerIn(cmd *cobra.Command) error {
	if f := cmd.Flags().Lookup("language"); f != nil && f.Changed {
		if err := speak(&roof.Job{}, f.Value.String()); err != nil {
			return err
		}
	}
	if in := speakerFor(cmd); in != nil {
		cmd.SetOut(&speaking{to: cmd.OutOrStdout(), in: in})
	}
	return nil
}

// saidLines is a text of several lines in the language.
func saidLines(in *language.Speaker, text string) string {
	lines := strings.Split(text, "\n")
	for i := range lines {
		lines[i] = saidLine(in, lines[i])
	}
	return strings.Join(lines, "\n")
}

// speaking says what is written to it line by line, and passes it on; last says what no line has ended.
type speaking struct {
	to   io.Writer
	in   *language.Speaker
	held bytes.Buffer
}

// Write takes bytes and passes whole lines on.
func (s *speaking) Write(p []byte) (int, error) {
	s.held.Write(p)
	for {
		line, rest, whole := bytes.Cut(s.held.Bytes(), []byte("\n"))
		if !whole {
			return len(p), nil
		}
		text := saidLine(s.in, string(line)) + "\n"
		s.held = *bytes.NewBuffer(bytes.Clone(rest))
		if _, err := io.WriteString(s.to, text); err != nil {
			return 0, err
		}
	}
}

// last passes on what no line has ended.
func (s *speaking) last() error {
	_, err := io.WriteString(s.to, saidLine(s.in, s.held.String()))
	s.held.Reset()
	return err
}

// gap parts the columns of a line.
var gap = regexp.MustCompile(` {2,}`)

// saidLine is a line in the language, each of its columns said by itself and as wide as it was where there is room.
func saidLine(in *language.Speaker, line string) string {
	if in == nil || strings.TrimSpace(line) == "" {
		return line
	}
	var b strings.Builder
	room := 0 // letters by which what was said is longer than it was
	from := 0
	put := func(text string) {
		x := in.Say(text)
		b.WriteString(x)
		room += len([]rune(x)) - len([]rune(text))
	}
	for _, at := range gap.FindAllStringIndex(line, -1) {
		if at[0] > from {
			put(line[from:at[0]])
		}
		wide := at[1] - at[0]
		if at[0] > 0 {
			kept := max(wide-room, 2)
			room += kept - wide
			wide = kept
		}
		b.WriteString(strings.Repeat(" ", wide))
		from = at[1]
	}
	if from < len(line) {
		put(line[from:])
	}
	return b.String()
}
