package firmfile

import "gelwright/internal/form"

const pageIntro = `<!-- written by 'gelwright schema --page firm'; do not edit -->

A firm file is YAML and says what the firm knows better than the catalogue and the roof file's defaults. Every field but
the version may be left out: then the catalogue, or the default of the [roof file](roof-file.md), stands. What a roof
file gives goes before the firm's.
`

// Page is the firm file as a page for people, in Markdown, made of the tables that read it.
func Page() (string, error) {
	return form.Page("The firm file", pageIntro, schema(), nil), nil
}
