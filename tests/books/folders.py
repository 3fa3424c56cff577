"""A small good folder to bring in, and the same with files changed."""

from ledger.books.bringing import Files

GOOD: dict[str, str] = {
    "holding": "name,currency,time_zone,year_end_month,year_end_day,season_first_month,owner\nWithy End,GBP,UTC,12,31,1,ada\n",
    "tax_statuses": "on,status\n2024-01-01,none\n",
    "workers": "key,name,paid\nwren,Wren,yes\n",
    "worker_rates": "worker,on,per_hour\nwren,2025-01-01,10.25\n",
    "plots": "key,name,kind,area_m2\nfield,Field,open,100\n",
    "beds": "key,plot,name,area_m2\nbed1,field,bed 1,20\n",
    "species": "key,name\nstatice,Statice\n",
    "varieties": "key,species,name,colour\nblue,statice,blue,blue\n",
    "places": "key,name,unit,room\nloft,Loft,hooks,50\n",
    "ways": "key,name,with_tax,trade\nstall,Stall,yes,no\n",
    "lines": "key,variety,grade,finish,unit,stems\nline1,blue,firsts,natural,bunch,10\n",
    "boxes": "key,shelf\nbox1,A1\n",
    "plantings": "key,on,variety,bed,area_m2,season,expected_stems\np1,2025-03-01,blue,bed1,20,2025,200\n",
    "lots": "key,planting,on,stage,stems\nlot1,p1,2025-07-01,full,200\n",
    "hangings": "key,lot,on,place,stems,room\nh1,lot1,2025-07-01,loft,200,10\n",
    "takings": "hanging,on,stems,mould,dropped\nh1,2025-07-15,200,,\n",
    "runs": "key,on\nr1,2025-07-16\n",
    "run_inputs": "run,hanging,stems\nr1,h1,200\n",
    "run_outputs": "key,run,line,made,box\nb1,r1,line1,20,box1\n",
    "prices": "way,line,on,price\nstall,line1,2025-01-01,5.50\n",
    "stall_days": "key,on,name,way\nm1,2025-08-02,Market,stall\n",
    "sales": "key,on,way,stall_day\ns1,2025-08-02,stall,m1\n",
    "sale_lines": "sale,line,quantity\ns1,line1,4\n",
    "work": "worker,on,minutes,task,spent_on\nwren,2025-07-01,60,cutting,planting:p1*3;lot:lot1\n",
    "pay": "worker,on,first_day,last_day,amount\nwren,2025-07-31,2025-07-01,2025-07-31,10.25\n",
}


def folder(**changed: str) -> Files:
    """The good folder with the files named changed or added."""
    return {f"{file}.csv": text.encode() for file, text in {**GOOD, **changed}.items()}
