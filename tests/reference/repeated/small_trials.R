# Makes small_trials_expected.json from small_trials.csv. Run: Rscript small_trials.R
suppressMessages({library(lme4); library(lmerTest); library(pbkrtest); library(jsonlite)})
d <- read.csv("small_trials.csv", stringsAsFactors = FALSE)
tight <- lmerControl(optimizer = "bobyqa", calc.derivs = FALSE,
                     optCtrl = list(rhobeg = 2e-2, rhoend = 1e-12, maxfun = 1e6))
contrast <- function(fit, weights) {
  l <- setNames(rep(0, length(fixef(fit))), names(fixef(fit)))
  l[names(weights)] <- weights
  value <- sum(l * fixef(fit))
  v <- vcovAdj(fit)
  se <- sqrt(as.numeric(t(l) %*% v %*% l))
  df <- Lb_ddf(l, vcov(fit), v)
  list(value = value, standardError = se, degreesOfFreedom = df,
       interval = value + c(-1, 1) * qt(0.975, df) * se)
}
sds <- function(fit) { v <- as.data.frame(VarCorr(fit)); list(group = v$grp, first = v$var1, second = v$var2, sd = v$sdcor) }

p <- subset(d, design == "parallel")
p$ses <- p$session
for (c in c("baseline", "post", "retention")) p[[c]] <- as.numeric(p$phase == c)
p$dp <- as.numeric(p$arm == "drill" & p$phase == "post")
p$dr <- as.numeric(p$arm == "drill" & p$phase == "retention")
full <- subset(p, task == "full")
main <- lmer(value ~ post + dp + (0 + baseline + post | golfer) + (1 | ses), subset(full, phase != "retention"), control = tight)
kept <- lmer(value ~ post + retention + dp + dr + (0 + baseline + post + retention | golfer) + (1 | ses), full, control = tight)

b <- subset(p, phase != "retention")
b$cell <- paste(b$task, b$phase)
b$fb <- as.numeric(b$cell == "full baseline"); b$fp <- as.numeric(b$cell == "full post")
b$db <- as.numeric(b$cell == "drill baseline"); b$dq <- as.numeric(b$cell == "drill post")
b$ef <- b$fp * (b$arm == "drill"); b$ed <- b$dq * (b$arm == "drill")
both <- lmer(value ~ fp + db + dq + ef + ed + (0 + fb + fp + db + dq | golfer) + (1 | ses), b, control = tight)

x <- subset(d, design == "crossover")
x$second <- as.numeric(x$period == 2); x$drill <- as.numeric(x$arm == "drill")
cross <- lmer(value ~ second + drill + (1 | golfer) + (1 | golfer:period), x, control = tight)

w <- subset(d, design == "stepped-start")
w$after <- as.numeric(w$phase == "post")
starts <- c("2026-04-01", "2026-05-01", "2026-06-01")
w$wave <- factor(sapply(w$date, function(date) sum(starts < date) + 1))
step <- lmer(value ~ wave + after + (1 + after | golfer) + (1 | session), w, control = tight)

out <- list(
  madeBy = paste(R.version.string, "lme4", packageVersion("lme4"), "lmerTest", packageVersion("lmerTest"), "pbkrtest", packageVersion("pbkrtest")),
  parallel = c(contrast(main, c(dp = 1)), list(reml = as.numeric(REMLcrit(main)), sds = sds(main))),
  retention = contrast(kept, c(dr = 1)),
  retentionGap = contrast(kept, c(dp = 1, dr = -1)),
  drillSpeed = contrast(both, c(ed = 1)),
  lost = contrast(both, c(ed = 1, ef = -1)),
  carryOverReml = as.numeric(REMLcrit(both)),
  crossover = c(contrast(cross, c(drill = 1)), list(reml = as.numeric(REMLcrit(cross)))),
  stepped = c(contrast(step, c(after = 1)), list(reml = as.numeric(REMLcrit(step)))))
write(toJSON(out, digits = 14, auto_unbox = TRUE, pretty = TRUE), "small_trials_expected.json")
