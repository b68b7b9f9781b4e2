// Package joining joins two documents of a roof that were made from the same one: both changes where they touch different things,
// and a list of clashes to choose from where they do not.
//
// A document is what a state of a job holds: the roof file's fields as JSON under "roof", and what the page keeps beside them
// under "page". Decks, corners with their edges, openings, penetrations and movement joints are known by the page's ids; of a
// document that no page has kept, by their names or by what stands in the same place. Fields are joined one by one; a fall, an arc,
// a taped survey and a place are each one thing.
//
// Two changes commute where they do not clash: it does not matter who is called mine. The joined roof is not judged here: the
// engine says of it what it says of any roof. Nothing is read but the three documents, and no input breaks it.
//
// The form is that of three-way merging (Khanna, Kunal and Pierce, A Formal Investigation of Diff3, FSTTCS 2007), on trees whose
// members have names.
package joining
