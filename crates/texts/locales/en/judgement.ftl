# judgement
