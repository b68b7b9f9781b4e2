// Package reading holds what a paper says in the order in which it is read:
// headings, paragraphs, lists, tables, figures. A page is laid out beside it, and
// whoever does not see the page reads this: the tags of a PDF and a page of HTML are
// both made from it.
package reading
