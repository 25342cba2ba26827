package jig
import ("testing";"fmt";"math/rand/v2";"os")
func TestCampaign(t *testing.T){
 lo,hi:=uint64(3000),uint64(3600)
 worst,judged,none,gave:=0.0,0,0,0
 hist:=map[int]int{}
 for seed:=lo;seed<hi;seed++{
  r := rand.New(rand.NewPCG(seed, 4))
  b, err := newBuilder(randomJob(t, r)); if err!=nil{t.Fatal(err)}
  if err := b.pattern(); err != nil {t.Fatal(err)}
  best, pairs := slowPair(b, r); judged+=pairs
  if len(b.found.pins)<2{ none++; if pairs>0{t.Errorf("job %d: none of %d",seed,pairs)}; continue}
  checkPlaces(t, fmt.Sprint("job ", seed), b)
  if b.found.gaveWay{gave++;continue}
  if pairs==0{continue}
  q:=b.found.objectiveMM/best
  if q>worst{worst=q}
  if q>1.02{t.Errorf("job %d ratio %.4f",seed,q)}
  k:=int((q-0.9)*100); if k<0{k=0}; hist[k]++
 }
 fmt.Fprintln(os.Stderr,"CAMPAIGN jobs",hi-lo,"pairs",judged,"worst",worst,"none",none,"gave",gave,hist)
}
