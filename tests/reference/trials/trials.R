# Makes trials_expected.json from the CSVs beside it. Run here: Rscript trials.R
# Every model is written out anew from its description; nothing of the project is read but the data.
suppressMessages({library(lme4); library(lmerTest); library(pbkrtest); library(jsonlite); library(numDeriv)})
swings <- read.csv("swings.csv"); sessions <- read.csv("sessions.csv")
assigned <- read.csv("assignments.csv"); practice <- read.csv("practice.csv")
all <- merge(swings, sessions, by = "session")
tight <- lmerControl(optimizer = "bobyqa", calc.derivs = FALSE,
                     optCtrl = list(rhobeg = 2e-2, rhoend = 1e-12, maxfun = 1e6))
fit_of <- function(f, d) { environment(f) <- environment(); lmerTest::lmer(f, d, control = tight) }

# A contrast of fixed effects with the Kenward-Roger covariance and degrees of freedom.
kr <- function(fit) {
  v <- vcovAdj(fit)
  ask <- function(weights) {
    l <- setNames(rep(0, length(fixef(fit))), names(fixef(fit)))
    l[names(weights)] <- weights
    value <- sum(l * fixef(fit)); se <- sqrt(as.numeric(t(l) %*% v %*% l)); df <- Lb_ddf(l, vcov(fit), v)
    list(value = value, standardError = se, degreesOfFreedom = df, interval = value + c(-1, 1) * qt(0.975, df) * se)
  }
  attr(ask, "adjusted") <- as.matrix(v)
  ask
}
# Fieller's interval of num / den, by the roots of (num - r den)^2 = q^2 var(num - r den), in percent.
fieller <- function(fit, k, num, den) {
  v <- attr(k, "adjusted")
  df <- min(k(num)$degreesOfFreedom, k(den)$degreesOfFreedom); q <- qt(0.975, df)
  l <- function(w) { z <- setNames(rep(0, nrow(v)), names(fixef(fit))); z[names(w)] <- w; z }
  f <- function(r) { d <- l(num) - r * l(den); sum(d * fixef(fit))^2 - q^2 * as.numeric(t(d) %*% v %*% d) }
  ratio <- sum(l(num) * fixef(fit)) / sum(l(den) * fixef(fit))
  root <- function(a, b) uniroot(f, c(a, b), tol = 1e-13)$root
  step <- 1e-3; low <- ratio; while (f(low) < 0) low <- low - step
  high <- ratio; while (f(high) < 0) high <- high + step
  list(value = 100 * ratio, degreesOfFreedom = df, interval = 100 * c(root(low, ratio), root(ratio, high)))
}
# A prediction of fixed plus random effects: error variance from the mixed model equations, at the estimated variances;
# Satterthwaite degrees of freedom from its derivative by the variance parameters.
golfer_change <- function(fit, fixed, group, picks) {
  X <- getME(fit, "X"); Z <- as.matrix(getME(fit, "Z"))
  at <- getME(fit, "Gp"); first <- at[match(group, names(getME(fit, "flist")))]
  b <- rep(0, ncol(Z)); for (p in picks) b[first + p$column] <- p$weight
  L0 <- getME(fit, "Lambdat"); index <- getME(fit, "Lind")
  error <- function(par) {
    L <- L0; L@x <- par[-length(par)][index]; Lam <- t(as.matrix(L)); W <- Z %*% Lam
    C <- rbind(cbind(crossprod(X), crossprod(X, W)), cbind(crossprod(W, X), crossprod(W) + diag(ncol(W))))
    a <- c(fixed, as.numeric(crossprod(Lam, b)))
    par[length(par)]^2 * sum(a * solve(C, a))
  }
  par <- c(getME(fit, "theta"), sigma(fit)); variance <- error(par); g <- grad(error, par)
  df <- 2 * variance^2 / as.numeric(t(g) %*% fit@vcov_varpar %*% g)
  value <- sum(fixed * fixef(fit)) + sum(b * as.numeric(getME(fit, "b")))
  list(value = value, standardError = sqrt(variance), degreesOfFreedom = df,
       interval = value + c(-1, 1) * qt(0.975, df) * sqrt(variance))
}
levels_of <- function(fit, group) levels(getME(fit, "flist")[[group]])
golfer_means <- function(d, column) {
  d <- d[!is.na(d[[column]]), ]
  m <- aggregate(d[[column]], list(golfer = d$golfer, phase = d$phase), mean)
  k <- aggregate(d[[column]], list(golfer = d$golfer, phase = d$phase), length)
  cell <- function(t, p) setNames(t$x[t$phase == p], t$golfer[t$phase == p])
  ids <- sort(unique(d$golfer))
  data.frame(golfer = ids, before = cell(m, "baseline")[ids], after = cell(m, "post")[ids],
             kb = cell(k, "baseline")[ids], ka = cell(k, "post")[ids])
}
swing_variance <- function(d, column) { d <- d[!is.na(d[[column]]), ]
  sum(resid(lm(d[[column]] ~ d$session))^2) / (nrow(d) - length(unique(d$session))) }
lm_term <- function(fit, term) list(value = coef(fit)[[term]], standardError = coef(summary(fit))[term, 2],
  degreesOfFreedom = fit$df.residual, interval = as.numeric(confint(fit, term)))
signed <- function(v) sign(v) * sqrt(abs(v))
repetitions <- function(trial, d) {
  last <- tapply(d$date[d$phase == "post"], d$golfer[d$phase == "post"], max)
  p <- merge(practice[practice$trial == trial, ], assigned[assigned$trial == trial, ], by = c("trial", "golfer"))
  p <- p[p$date >= p$assigned_on & (is.na(last[p$golfer]) | p$date <= last[p$golfer]), ]
  tapply(p$reps, p$golfer, sum)
}

parallel <- function(column) {
  d <- subset(all, trial == "parallel"); d$y <- d[[column]]
  d <- merge(d, assigned[assigned$trial == "parallel", c("golfer", "arm")], by = "golfer")
  d$golfer <- as.character(d$golfer)
  for (p in c("baseline", "post", "retention")) d[[p]] <- as.numeric(d$phase == p)
  d$dp <- d$post * (d$arm == "drill"); d$dr <- d$retention * (d$arm == "drill")
  full <- subset(d, task == "full"); compared <- subset(full, phase != "retention")
  main <- fit_of(y ~ post + dp + (0 + baseline + post | golfer), compared)
  kept <- fit_of(y ~ post + retention + dp + dr + (0 + baseline + post + retention | golfer), full)
  b <- subset(d, phase != "retention")
  b$fb <- (b$task == "full") * b$baseline; b$fp <- (b$task == "full") * b$post
  b$db <- (b$task == "drill") * b$baseline; b$dq <- (b$task == "drill") * b$post
  b$ef <- b$fp * (b$arm == "drill"); b$ed <- b$dq * (b$arm == "drill")
  both <- fit_of(y ~ fp + db + dq + ef + ed + (0 + fb + fp + db + dq | golfer), b)
  g <- golfer_means(compared, column); g$arm <- setNames(d$arm, d$golfer)[g$golfer]; g$change <- g$after - g$before
  whole <- subset(g, !is.na(change)); s2 <- swing_variance(compared, column)
  part <- function(a) { w <- subset(whole, arm == a)
    list(n = nrow(w), v = var(w$change), noise = s2 * mean(1 / w$kb + 1 / w$ka)) }
  dr <- part("drill"); ct <- part("control")
  dv <- (dr$v - dr$noise) - (ct$v - ct$noise); se <- sqrt(2 * (dr$v^2 / (dr$n - 1) + ct$v^2 / (ct$n - 1)))
  typical <- sqrt(ct$v / 2)
  start <- subset(g, !is.na(before))
  pooled <- sigma(lm(before ~ arm, start))
  between_arms <- sqrt(max(0, pooled^2 - typical^2)); between <- sqrt(max(0, var(start$before) - typical^2))
  reliability <- between^2 / (between^2 + typical^2)
  start_drill <- mean(start$before[start$arm == "drill"])
  reps <- repetitions("parallel", full); w <- subset(whole, arm == "drill" & golfer %in% names(reps)); w$hundred <- reps[w$golfer] / 100
  k <- kr(main); k3 <- kr(kept); k4 <- kr(both); ids <- levels_of(main, "golfer")
  pick <- function(id) { i <- match(id, ids)
    golfer_change(main, c(0, 1, as.numeric(setNames(d$arm, d$golfer)[id] == "drill")), "golfer",
      list(list(column = 2 * i - 1, weight = -1), list(column = 2 * i, weight = 1))) }
  shown <- c(whole$golfer[whole$arm == "drill"][1], whole$golfer[whole$arm == "control"][1], tail(whole$golfer, 1))
  list(reml = as.numeric(REMLcrit(main)), effect = k(c(dp = 1)), retention = k3(c(dr = 1)),
    retentionShare = fieller(kept, k3, c(dr = 1), c(dp = 1)),
    drillSpeed = k4(c(ed = 1)), lost = k4(c(ed = 1, ef = -1)),
    carriedShare = fieller(both, k4, c(ef = 1), c(ed = 1)),
    individual = list(value = signed(dv), interval = signed(dv + c(-1, 1) * qnorm(0.975) * se)),
    smallest = max(0.2 * between_arms, typical), expectedShift = (1 - reliability) * (mean(start$before) - start_drill),
    dose = lm_term(lm(after ~ before + hundred, w), "hundred"),
    changeScores = lm_term(lm(change ~ I(arm == "drill"), whole), 'I(arm == "drill")TRUE'),
    welch = { w <- t.test(change ~ factor(arm, c("drill", "control")), whole)
      list(value = -diff(as.numeric(w$estimate)), degreesOfFreedom = as.numeric(w$parameter), interval = as.numeric(w$conf.int)) },
    golfers = setNames(lapply(shown, pick), shown))
}

crossover <- function() {
  d <- subset(all, trial == "crossover" & phase == "post" & task == "full"); d$y <- d$shaft_lean_impact_deg
  a <- assigned[assigned$trial == "crossover", ]; a <- a[order(a$golfer, a$assigned_on), ]
  second <- a[duplicated(a$golfer), ]; first <- a[!duplicated(a$golfer), ]
  d$period <- 1 + (setNames(second$assigned_on, second$golfer)[d$golfer] < d$date)
  d$arm <- ifelse(d$period == 2, setNames(second$arm, second$golfer)[d$golfer], setNames(first$arm, first$golfer)[d$golfer])
  d$second <- as.numeric(d$period == 2); d$drill <- as.numeric(d$arm == "drill"); d$gp <- paste(d$golfer, d$period)
  fit <- fit_of(y ~ second + drill + (1 | golfer) + (1 | gp), d)
  ids <- levels_of(fit, "gp"); n <- table(unique(d[c("golfer", "period")])$golfer)
  pick <- function(id) { own <- unique(d[d$golfer == id, c("period", "drill")])
    golfer_change(fit, c(0, 0, 1), "gp", lapply(1:2, function(i)
      list(column = match(paste(id, own$period[i]), ids), weight = if (own$drill[i] == 1) 1 else -1))) }
  shown <- c(head(names(n)[n == 2], 1), tail(names(n)[n == 2], 1))
  list(reml = as.numeric(REMLcrit(fit)), effect = kr(fit)(c(drill = 1)), golfers = setNames(lapply(shown, pick), shown))
}

stepped <- function() {
  d <- subset(all, trial == "stepped-start" & phase %in% c("baseline", "post") & task == "full"); d$y <- d$shaft_lean_impact_deg
  d$post <- as.numeric(d$phase == "post")
  starts <- unique(assigned$assigned_on[assigned$trial == "stepped-start" & assigned$arm == "drill"])
  d$wave <- factor(sapply(d$date, function(date) sum(starts < date) + 1))
  fit <- fit_of(y ~ wave + post + (1 + post | golfer) + (1 | session), d)
  ids <- levels_of(fit, "golfer"); p <- length(fixef(fit))
  whole <- names(which(tapply(d$post, d$golfer, function(x) length(unique(x))) == 2))
  pick <- function(id) golfer_change(fit, as.numeric(names(fixef(fit)) == "post"), "golfer", list(list(column = 2 * match(id, ids), weight = 1)))
  shown <- c(head(whole, 1), tail(whole, 1))
  list(reml = as.numeric(REMLcrit(fit)), waves = nlevels(d$wave), effect = kr(fit)(c(post = 1)), golfers = setNames(lapply(shown, pick), shown))
}

before_after <- function() {
  d <- subset(all, trial == "before-after" & task == "full"); d$y <- d$shaft_lean_impact_deg
  for (p in c("baseline", "post", "retention")) d[[p]] <- as.numeric(d$phase == p)
  compared <- subset(d, phase != "retention")
  main <- fit_of(y ~ post + (0 + baseline + post | golfer), compared)
  kept <- fit_of(y ~ post + retention + (0 + baseline + post + retention | golfer), d)
  k3 <- kr(kept)
  g <- golfer_means(compared, "shaft_lean_impact_deg"); reps <- repetitions("before-after", d)
  w <- subset(g, !is.na(after) & !is.na(before) & golfer %in% names(reps)); w$hundred <- reps[w$golfer] / 100
  list(reml = as.numeric(REMLcrit(main)), effect = kr(main)(c(post = 1)), retention = k3(c(retention = 1)),
    retentionShare = fieller(kept, k3, c(retention = 1), c(post = 1)),
    dose = lm_term(lm(after ~ before + hundred, w), "hundred"))
}
metrics <- c("shaft_lean_impact_deg", "lag_delivery_deg")
jobs <- c(lapply(metrics, function(m) function() parallel(m)), crossover, stepped, before_after)
done <- parallel::mclapply(jobs, function(job) job(), mc.cores = 2, mc.preschedule = FALSE)
out <- list(madeBy = paste0(R.version.string, "; ", paste(sapply(c("lme4", "lmerTest", "pbkrtest", "numDeriv"), function(p) paste(p, packageVersion(p))), collapse = ", ")),
  parallel = setNames(done[1:2], metrics), crossover = done[[3]], stepped = done[[4]], beforeAfter = done[[5]])
write(toJSON(out, digits = 12, auto_unbox = TRUE, pretty = TRUE), "trials_expected.json")
