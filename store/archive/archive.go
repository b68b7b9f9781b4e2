package archive

import (
	"crypto/sha256"
	"encoding/hex"
	"strings"

	"gelwright/office"
	"gelwright/store"
)

// Contents are a job without the bytes of its documents, changes and files, which are named by their SHA-256.
type Contents struct {
	Job    store.Job
	States []State      // in order, 1, 2, 3 …
	Files  []store.File // by name
	// Sheets are what the office keeps of the job, each in all its versions: customers, sites and crews that it names, then its own
	// sheet and its days. None where the office keeps nothing of it.
	Sheets []office.Record
}

// State is a state whose document and change are named by their hashes; Change is empty where there is none.
type State struct {
	store.Entry
	Document string `json:"document"`
	Change   string `json:"change,omitempty"`
}

// version is that of the file's form; a reader refuses a later one. A job of which the office keeps nothing is written in the form
// before it, which older programs read.
const (
	version       = 2
	versionBefore = 1
)

// format is what the manifest calls the file.
const format = "gelwright job"

// Names of the entries.
const (
	manifestName = "manifest.json"
	jobName      = "job.json"
	statesName   = "states.json"
	officeName   = "office.json"
	textFolder   = "texts/"
	textEnd      = ".json"
	fileFolder   = "files/"
)

// Limits of the parts that the limits of package store do not name.
const (
	mostDirectoryBytes = 32 << 20 // the zip's own list of what it holds, read twice
	mostManifestBytes  = 32 << 20
	mostJobBytes       = 64 << 10
	mostStatesBytes    = 128 << 20
	mostOfficeBytes    = 64 << 20
	mostUnpackedBytes  = 2 * store.MostImportBytes
)

// manifest is the list of what the file holds beside itself.
type manifest struct {
	Format  string  `json:"format"`
	Version int     `json:"version"`
	Entries []entry `json:"entries"`
}

type entry struct {
	Name   string `json:"name"`
	Size   int64  `json:"size"`
	SHA256 string `json:"sha256"`
}

// jobFile is what job.json holds.
type jobFile struct {
	store.Job
	Files []store.File `json:"files"`
}

func textName(hash string) string { return textFolder + hash + textEnd }

// hashIn is the hash that an entry of a folder is named by, empty where its name is not of that form.
func hashIn(name, folder, end string) string {
	hash, under := strings.CutPrefix(name, folder)
	hash, ended := strings.CutSuffix(hash, end)
	raw, err := hex.DecodeString(hash)
	if !under || !ended || err != nil || len(raw) != sha256.Size || strings.ToLower(hash) != hash {
		return ""
	}
	return hash
}

// Hash is the SHA-256 of bytes as 64 digits 0-9 a-f.
func Hash(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}
