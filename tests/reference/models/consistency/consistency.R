# Makes consistency_expected.json. Run here: Rscript consistency.R
# The log likelihood of models whose residual SD depends on columns but not on the subject (dispersion formula), by
# glmmTMB, and once more by nlme where the column is a factor.
suppressMessages({library(glmmTMB); library(nlme); library(jsonlite)})
ortho <- read.csv("../orthodont.csv"); ortho$Subject <- factor(ortho$Subject); ortho$Sex <- factor(ortho$Sex)
describe <- function(fit) list(logLikelihood = as.numeric(logLik(fit)), fixed = unname(fixef(fit)$cond))
by_sex_and_age <- glmmTMB(distance ~ age * Sex + (1 | Subject), dispformula = ~ Sex + age, data = ortho)
by_sex <- glmmTMB(distance ~ age * Sex + (1 | Subject), dispformula = ~ Sex, data = ortho)
ident <- lme(distance ~ age * Sex, ortho, ~ 1 | Subject, weights = varIdent(form = ~ 1 | Sex), method = "ML",
             control = lmeControl(msTol = 1e-12, tolerance = 1e-12, opt = "nlminb"))
out <- list(bySexAndAge = describe(by_sex_and_age), bySex = describe(by_sex),
            bySexAgain = list(logLikelihood = as.numeric(logLik(ident))),
            madeBy = paste0(R.version$version.string, "; glmmTMB ", packageVersion("glmmTMB"), "; nlme ",
                            packageVersion("nlme")))
write(toJSON(out, auto_unbox = TRUE, digits = 15, pretty = TRUE), "consistency_expected.json")
