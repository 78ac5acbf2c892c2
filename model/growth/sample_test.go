package growth

// Sample is the posterior of a bed by itself.
func Sample(s Series, prior Prior, season Season, plots []PlotEvidence, set Settings) Posterior {
	return sample(s, prior, season, plots, set, usual(1, false))
}

func sample(s Series, prior Prior, season Season, plots []PlotEvidence, set Settings, e effort) Posterior {
	p := sampleBeds([]BedSeries{{"bed", s}}, prior, season, plots, set, e)
	post := p.Beds[0]
	if len(post.Warnings) == 0 {
		post.Warnings = p.Warnings
	}
	return post
}
