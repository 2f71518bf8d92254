"""Writes certified.json: data and certified values of the NIST Statistical Reference Datasets, linear regression
(https://www.itl.nist.gov/div898/strd/lls/lls.shtml; a work of the United States government, public domain), and
confirms every certified value from the data in exact fractions. Longley stands in ../models/longley.json.

Python 3.11, standard library only. Run: python3 certified.py > certified.json
"""
import json
from decimal import Decimal, getcontext
from fractions import Fraction

getcontext().prec = 60

NORRIS = """0.1 0.2 338.8 337.4 118.1 118.2 888.0 884.6 9.2 10.1 228.1 226.5 668.5 666.3 998.5 996.3 449.1 448.6
778.9 777.0 559.2 558.2 0.3 0.4 0.1 0.6 778.1 775.5 668.8 666.9 339.3 338.0 448.9 447.5 10.8 11.6 557.7 556.0
228.3 228.1 998.0 995.8 888.8 887.6 119.6 120.2 0.3 0.3 0.6 0.3 557.6 556.8 339.3 339.1 888.0 887.2 998.5 999.0
778.9 779.0 10.2 11.1 117.6 118.3 228.9 229.2 668.4 669.1 449.2 448.9 0.2 0.5"""
PONTIUS_Y = """.11019 .21956 .32949 .43899 .54803 .65694 .76562 .87487 .98292 1.09146 1.20001 1.30822 1.41599 1.52399
1.63194 1.73947 1.84646 1.95392 2.06128 2.16844 .11052 .22018 .32939 .43886 .54798 .65739 .76596 .87474 .98300
1.09150 1.20004 1.30818 1.41613 1.52408 1.63159 1.73965 1.84696 1.95445 2.06177 2.16829"""
FILIP_Y = """0.8116 0.9072 0.9052 0.9039 0.8053 0.8377 0.8667 0.8809 0.7975 0.8162 0.8515 0.8766 0.8885 0.8859 0.8959
0.8913 0.8959 0.8971 0.9021 0.909 0.9139 0.9199 0.8692 0.8872 0.89 0.891 0.8977 0.9035 0.9078 0.7675 0.7705 0.7713
0.7736 0.7775 0.7841 0.7971 0.8329 0.8641 0.8804 0.7668 0.7633 0.7678 0.7697 0.77 0.7749 0.7796 0.7897 0.8131 0.8498
0.8741 0.8061 0.846 0.8751 0.8856 0.8919 0.8934 0.894 0.8957 0.9047 0.9129 0.9209 0.9219 0.7739 0.7681 0.7665 0.7703
0.7702 0.7761 0.7809 0.7961 0.8253 0.8602 0.8809 0.8301 0.8664 0.8834 0.8898 0.8964 0.8963 0.9074 0.9119 0.9228"""
FILIP_X = """-6.860120914 -4.324130045 -4.358625055 -4.358426747 -6.955852379 -6.661145254 -6.355462942 -6.118102026
-7.115148017 -6.815308569 -6.519993057 -6.204119983 -5.853871964 -6.109523091 -5.79832982 -5.482672118 -5.171791386
-4.851705903 -4.517126416 -4.143573228 -3.709075441 -3.499489089 -6.300769497 -5.953504836 -5.642065153 -5.031376979
-4.680685696 -4.329846955 -3.928486195 -8.56735134 -8.363211311 -8.107682739 -7.823908741 -7.522878745 -7.218819279
-6.920818754 -6.628932138 -6.323946875 -5.991399828 -8.781464495 -8.663140179 -8.473531488 -8.247337057 -7.971428747
-7.676129393 -7.352812702 -7.072065318 -6.774174009 -6.478861916 -6.159517513 -6.835647144 -6.53165267 -6.224098421
-5.910094889 -5.598599459 -5.290645224 -4.974284616 -4.64454848 -4.290560426 -3.885055584 -3.408378962 -3.13200249
-8.726767166 -8.66695597 -8.511026475 -8.165388579 -7.886056648 -7.588043762 -7.283412422 -6.995678626 -6.691862621
-6.392544977 -6.067374056 -6.684029655 -6.378719832 -6.065855188 -5.752272167 -5.132414673 -4.811352704 -4.098269308
-3.66174277 -3.2644011"""
WAMPLER = {
    "Wampler1": "1 6 63 364 1365 3906 9331 19608 37449 66430 111111 177156 271453 402234 579195 813616 1118481 1508598 2000719 2613660 3368421",
    "Wampler2": "1.00000 1.11111 1.24992 1.42753 1.65984 1.96875 2.38336 2.94117 3.68928 4.68559 6.00000 7.71561 9.92992 12.75603 16.32384 20.78125 26.29536 33.05367 41.26528 51.16209 63.00000",
    "Wampler3": "760 -2042 2111 -1684 3888 1858 11379 17560 39287 64382 113159 175108 273291 400186 581243 811568 1121004 1506550 2002767 2611612 3369180",
    "Wampler4": "75901 -204794 204863 -204436 253665 -200894 214131 -185192 221249 -138370 315911 -27644 455253 197434 783995 608816 1370781 1303798 2205519 2408860 3444321",
    "Wampler5": "7590001 -20479994 20480063 -20479636 25231365 -20476094 20489331 -20460392 18417449 -20413570 20591111 -20302844 18651453 -20077766 21059195 -19666384 26348481 -18971402 22480719 -17866340 10958421",
}
ONES = ["1.00000000000000"] * 6
SETS = {
    "Norris": dict(
        difficulty="lower", powers=[0, 1], y=NORRIS.split()[0::2], x=NORRIS.split()[1::2],
        estimate=["-0.262323073774029", "1.00211681802045"],
        standardError=["0.232818234301152", "0.429796848199937E-03"],
        residualSd="0.884796396144373", rSquared="0.999993745883712"),
    "Pontius": dict(
        difficulty="lower", powers=[0, 1, 2], y=PONTIUS_Y.split(),
        x=[str(150000 * (i % 20 + 1)) for i in range(40)],
        estimate=["0.673565789473684E-03", "0.732059160401003E-06", "-0.316081871345029E-14"],
        standardError=["0.107938612033077E-03", "0.157817399981659E-09", "0.486652849992036E-16"],
        residualSd="0.205177424076185E-03", rSquared="0.999999900178537"),
    "NoInt1": dict(
        difficulty="average", powers=[1], y=[str(130 + i) for i in range(11)], x=[str(60 + i) for i in range(11)],
        estimate=["2.07438016528926"], standardError=["0.165289256198347E-01"],
        residualSd="3.56753034006338", rSquared="0.999365492298663"),
    "NoInt2": dict(
        difficulty="average", powers=[1], y=["3", "4", "4"], x=["4", "5", "6"],
        estimate=["0.727272727272727"], standardError=["0.420827318078432E-01"],
        residualSd="0.369274472937998", rSquared="0.993348115299335"),
    "Filip": dict(
        difficulty="higher", powers=list(range(11)), y=FILIP_Y.split(), x=FILIP_X.split(),
        estimate=["-1467.48961422980", "-2772.17959193342", "-2316.37108160893", "-1127.97394098372",
                  "-354.478233703349", "-75.1242017393757", "-10.8753180355343", "-1.06221498588947",
                  "-0.670191154593408E-01", "-0.246781078275479E-02", "-0.402962525080404E-04"],
        standardError=["298.084530995537", "559.779865474950", "466.477572127796", "227.204274477751",
                       "71.6478660875927", "15.2897178747400", "2.23691159816033", "0.221624321934227",
                       "0.142363763154724E-01", "0.535617408889821E-03", "0.896632837373868E-05"],
        residualSd="0.334801051324544E-02", rSquared="0.996727416185620"),
}
WAMPLER_CERTIFIED = {
    "Wampler1": (ONES, ["0"] * 6, "0", "1.00000000000000"),
    "Wampler2": (["1.00000000000000", "0.100000000000000", "0.100000000000000E-01", "0.100000000000000E-02",
                  "0.100000000000000E-03", "0.100000000000000E-04"], ["0"] * 6, "0", "1.00000000000000"),
    "Wampler3": (ONES, ["2152.32624678170", "2363.55173469681", "779.343524331583", "101.475507550350",
                        "5.64566512170752", "0.112324854679312"], "2360.14502379268", "0.999995559025820"),
    "Wampler4": (ONES, ["215232.624678170", "236355.173469681", "77934.3524331583", "10147.5507550350",
                        "564.566512170752", "11.2324854679312"], "236014.502379268", "0.957478440825662"),
    "Wampler5": (ONES, ["21523262.4678170", "23635517.3469681", "7793435.24331583", "1014755.07550350",
                        "56456.6512170752", "1123.24854679312"], "23601450.2379268", "0.224668921574940E-02"),
}
for name, (estimate, standardError, residualSd, rSquared) in WAMPLER_CERTIFIED.items():
    SETS[name] = dict(difficulty="higher", powers=list(range(6)), y=WAMPLER[name].split(),
                      x=[str(i) for i in range(21)], estimate=estimate, standardError=standardError,
                      residualSd=residualSd, rSquared=rSquared)


def root(f):
    return (Decimal(f.numerator) / Decimal(f.denominator)).sqrt()


def near(found, certified, what):
    found, certified = Decimal(found), Decimal(certified)
    assert abs(found - certified) <= Decimal("1.1e-14") * abs(certified), (what, found, certified)


def decimal(f):
    return Decimal(f.numerator) / Decimal(f.denominator)


for name, s in SETS.items():
    y = [Fraction(v) for v in s["y"]]
    x = [[Fraction(v) ** k for k in s["powers"]] for v in s["x"]]
    n, p = len(x), len(s["powers"])
    assert len(y) == n
    a = [[sum(x[i][j] * x[i][k] for i in range(n)) for k in range(p)] + [Fraction(int(j == k)) for k in range(p)]
         for j in range(p)]
    for c in range(p):
        pivot = a[c][c]
        a[c] = [v / pivot for v in a[c]]
        for r in range(p):
            if r != c and a[r][c] != 0:
                f = a[r][c]
                a[r] = [v - f * w for v, w in zip(a[r], a[c])]
    inverse = [row[p:] for row in a]
    xy = [sum(x[i][j] * y[i] for i in range(n)) for j in range(p)]
    beta = [sum(inverse[j][k] * xy[k] for k in range(p)) for j in range(p)]
    rss = sum((y[i] - sum(x[i][j] * beta[j] for j in range(p))) ** 2 for i in range(n))
    mean = sum(y) / n if s["powers"][0] == 0 else 0
    total = sum((v - mean) ** 2 for v in y)
    for j in range(p):
        near(decimal(beta[j]), s["estimate"][j], (name, "estimate", j))
        near(root(rss / (n - p) * inverse[j][j]), s["standardError"][j], (name, "standardError", j))
    near(root(rss / (n - p)), s["residualSd"], (name, "residualSd"))
    near(1 - decimal(rss / total), s["rSquared"], (name, "rSquared"))
    for key in ("x", "y", "estimate", "standardError"):
        s[key] = [float(v) for v in s[key]]
    for key in ("residualSd", "rSquared"):
        s[key] = float(s[key])

order = ["Norris", "Pontius", "NoInt1", "NoInt2", "Filip"] + list(WAMPLER)
print(json.dumps({
    "source": "NIST Statistical Reference Datasets, linear regression: data and certified values (public domain), each certified value confirmed in exact fractions by certified.py",
    "sets": {name: SETS[name] for name in order},
}, indent=1))
