package roof

// Names are what people have called things of the job: itself, who is concerned, decks, openings and what passes through. They are the
// same in every language.
func (j *Job) Names() []string {
	names := append([]string{j.Name, j.Reference, j.Client, j.PreparedBy, j.Site.Name}, j.Site.Neighbours...)
	for _, d := range j.Decks {
		names = append(names, d.Name)
		for _, o := range d.Openings {
			names = append(names, o.Name)
		}
		for _, x := range d.Penetrations {
			names = append(names, x.Name)
		}
	}
	return names
}
