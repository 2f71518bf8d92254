# Makes school.json: for each of the 160 schools of the High School and Beyond survey of 1982 (US Department of Education;
# Raudenbush and Bryk 2002, Hierarchical Linear Models, 2nd ed.) the number of pupils and the sums, squares and products of
# socio-economic status and mathematics score about a stated centre, with the mixed-model estimates of the slope within and
# between schools. Only these sums are kept here, not the pupils.
# Run: Rscript school.R > school.json   (R with packages nlme for the data, lme4 for the fit, jsonlite)
suppressMessages({library(nlme); library(lme4); library(jsonlite)})
d <- as.data.frame(MathAchieve); d$School <- as.character(d$School)
d <- d[order(d$School), ]
m <- tapply(d$SES, d$School, mean); d$mean <- as.numeric(m[d$School]); d$w <- d$SES - d$mean
tight <- lmerControl(optimizer = "bobyqa", optCtrl = list(rhoend = 1e-10))
one <- lmer(MathAch ~ w + mean + (1 | School), d, REML = TRUE, control = tight)
two <- lmer(MathAch ~ w + mean + (1 + w | School), d, REML = TRUE, control = tight)
rows <- function(f) unname(apply(summary(f)$coefficients[, 1:2], 1, as.list))
by <- function(v) as.numeric(tapply(v, d$School, sum))
cat(toJSON(list(
  source = paste("lme4", packageVersion("lme4"), "nlme", packageVersion("nlme"), R.version.string),
  schools = sort(unique(d$School)), pupils = as.numeric(table(d$School)),
  ses = by(d$SES), math = by(d$MathAch - 12), ses2 = by(d$SES^2), sesmath = by(d$SES * (d$MathAch - 12)), math2 = by((d$MathAch - 12)^2),
  randomIntercept = summary(one)$coefficients[, 1:2], randomSlope = summary(two)$coefficients[, 1:2],
  remlIntercept = as.numeric(REMLcrit(one)), remlSlope = as.numeric(REMLcrit(two))), digits = NA, auto_unbox = TRUE))
