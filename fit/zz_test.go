package fit
import ("testing";"math";"fmt")
func TestForm(t *testing.T){
 lo:=0.0
 _=lo
 mainLo:=func(m int)float64{ if m==0 {return 1}; return mainStepTo[m-1]}
 fineLo:=func(f int)float64{ if f==0 {return 1}; return fineStepTo[f-1]}
 F:=map[letter]func(D float64,m int)float64{}
 it:=func(g Grade,m int)float64{return standardTolerance[g][m]}
 F[letA]=func(D float64,m int)float64{ if D<=120{return 265+1.3*D}; return 3.5*D}
 F[letB]=func(D float64,m int)float64{ if D<=160{return 140+.85*D}; return 1.8*D}
 F[letC]=func(D float64,m int)float64{ if D<=40{return 52*math.Pow(D,.2)}; return 95+.8*D}
 F[letD]=func(D float64,m int)float64{ return 16*math.Pow(D,.44)}
 F[letE]=func(D float64,m int)float64{ return 11*math.Pow(D,.41)}
 F[letF]=func(D float64,m int)float64{ return 5.5*math.Pow(D,.41)}
 F[letG]=func(D float64,m int)float64{ return 2.5*math.Pow(D,.34)}
 F[letCD]=func(D float64,m int)float64{ return math.Sqrt(F[letC](D,m)*F[letD](D,m))}
 F[letEF]=func(D float64,m int)float64{ return math.Sqrt(F[letE](D,m)*F[letF](D,m))}
 F[letFG]=func(D float64,m int)float64{ return math.Sqrt(F[letF](D,m)*F[letG](D,m))}
 F[letK]=func(D float64,m int)float64{ return .6*math.Cbrt(D)}
 F[letM]=func(D float64,m int)float64{ return it(IT7,m)-it(IT6,m)}
 F[letN]=func(D float64,m int)float64{ return 5*math.Pow(D,.34)}
 F[letP]=func(D float64,m int)float64{ return it(IT7,m)+2.5}
 F[letS]=func(D float64,m int)float64{ if D<=50 {return it(IT8,m)+2.5}; return it(IT7,m)+.4*D}
 F[letR]=func(D float64,m int)float64{ return math.Sqrt(fundamental[letP][fineOf(D)]*fundamental[letS][fineOf(D)])}
 F[letT]=func(D float64,m int)float64{ return it(IT7,m)+.63*D}
 F[letU]=func(D float64,m int)float64{ return it(IT7,m)+D}
 F[letV]=func(D float64,m int)float64{ return it(IT7,m)+1.25*D}
 F[letX]=func(D float64,m int)float64{ return it(IT7,m)+1.6*D}
 F[letY]=func(D float64,m int)float64{ return it(IT7,m)+2*D}
 F[letZ]=func(D float64,m int)float64{ return it(IT7,m)+2.5*D}
 F[letZA]=func(D float64,m int)float64{ return it(IT8,m)+3.15*D}
 F[letZB]=func(D float64,m int)float64{ return it(IT9,m)+4*D}
 F[letZC]=func(D float64,m int)float64{ return it(IT10,m)+5*D}
 names:=[]string{"a","b","c","cd","d","e","ef","f","fg","g","h","js","j","k","m","n","p","r","s","t","u","v","x","y","z","za","zb","zc"}
 for l:=letA;l<=letZC;l++{
  f,ok:=F[l]; if !ok {continue}
  for i:=range fineSteps {
   tab:=fundamental[l][i]; if tab==0&&l!=letK {continue}
   m:=int(mainOf[i])
   split:=false
   for k:=range fineSteps { if k!=i&&int(mainOf[k])==m&&fundamental[l][k]!=tab {split=true}}
   a,b:=mainLo(m),mainStepTo[m]
   if split||l==letT||l==letV||l==letY {a,b=fineLo(i),fineStepTo[i]}
   D:=math.Sqrt(a*b)
   v:=f(D,m)
   if l==letU || l==letX || l>=letZ {
     D=math.Sqrt(fineLo(i)*fineStepTo[i]); if split {v=f(D,m)}
   }
   fmt.Printf("%-3s %3.0f table %5.0f formula %8.2f diff %+6.2f (%.1f%%)\n",names[l],fineStepTo[i],tab,v,tab-v,(tab-v)/v*100)
  }
 }
}
func fineOf(D float64)int{ s,_:=stepOf(D); return s}
