# Sums by school of the London examination data (Goldstein H, Rasbash J, Yang M, et al. A multilevel analysis of
# school examination results. Oxford Review of Education 1993;19:425-433), as carried by the package mlmRev, and the
# maximum likelihood fits by lme4, for the study of instructors. Prints JSON.
suppressMessages({library(lme4); library(mlmRev)})
d <- Exam
num <- function(x) formatC(x, digits = 17, format = "g")
m0 <- lmer(normexam ~ 1 + (1 | school), d, REML = FALSE)
m1 <- lmer(normexam ~ standLRT + (1 | school), d, REML = FALSE)
vc <- function(m) c(attr(VarCorr(m)$school, "stddev"), sigma(m))
sch <- split(d, d$school)
cat('{\n "versions": {"R": "', as.character(getRversion()), '", "lme4": "', as.character(packageVersion("lme4")), '", "mlmRev": "', as.character(packageVersion("mlmRev")), '"},\n', sep = "")
cat(' "nullModel": {"between": ', num(vc(m0)[1]), ', "within": ', num(vc(m0)[2]), '},\n', sep = "")
re <- ranef(m1, condVar = TRUE)$school
cat(' "withIntake": {"between": ', num(vc(m1)[1]), ', "within": ', num(vc(m1)[2]), ', "intercept": ', num(fixef(m1)[1]), ', "slope": ', num(fixef(m1)[2]), '},\n', sep = "")
cat(' "effects": [', paste(num(re[, 1]), collapse = ", "), '],\n', sep = "")
cat(' "effectSds": [', paste(num(sqrt(attr(re, "postVar")[1, 1, ])), collapse = ", "), '],\n', sep = "")
cat(' "columns": ["school", "n", "sum x", "sum x^2", "sum y", "sum xy", "sum y^2"],\n "schools": [\n')
rows <- sapply(names(sch), function(s) with(sch[[s]], sprintf('  ["%s", %d, %s, %s, %s, %s, %s]', s, length(normexam), num(sum(standLRT)), num(sum(standLRT^2)), num(sum(normexam)), num(sum(standLRT * normexam)), num(sum(normexam^2)))))
cat(paste(rows, collapse = ",\n"), '\n ]\n}\n')
