// Package archive knows the one file that a job travels in: a zip that holds job.json, states.json, each document and change
// once under texts/, each file and photo once under files/, and manifest.json with size and SHA-256 of every one of them.
//
// Write gives the same bytes for the same job. Read trusts nothing: it reads every entry within the limits of the manifest and
// of package store before it gives anything back, refuses what is missing, added, twice there, longer or other than the
// manifest says, and holds the job to the laws that a store holds it to. Nothing is ever written under a name that the file
// gives. It keeps no job itself.
package archive
