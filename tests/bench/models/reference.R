# Times of general-purpose statistics software for the work that models.ts measures; median milliseconds, one line each.
# R 4.2.2 with lme4 1.1-31, lmerTest 3.1-3, pbkrtest 0.5.2, ordinal 2022.11-16.
# Rscript reference.R <folder of sleepstudy.csv> <folder of the larger data, or -> <names of the work, comma-separated>
suppressMessages({library(lme4); library(lmerTest); library(pbkrtest); library(ordinal)})
arguments <- commandArgs(TRUE)
small <- arguments[1]; large <- arguments[2]; wanted <- strsplit(arguments[3], ",")[[1]]
options(warn = -1)
timed <- function(name, repeats, work) {
  if (!(name %in% wanted)) return(invisible())
  if (repeats > 1) suppressMessages(work())
  ms <- replicate(repeats, system.time(suppressMessages(work()))[["elapsed"]] * 1000)
  cat(name, median(ms), "\n", sep = " "); flush(stdout())
}
sleep <- read.csv(file.path(small, "sleepstudy.csv")); sleep$Subject <- factor(sleep$Subject)
slope <- Reaction ~ Days + (Days | Subject)
plain <- function(...) lme4::lmer(...)
m <- plain(slope, sleep); mt <- lmerTest::lmer(slope, sleep); ml <- plain(slope, sleep, REML = FALSE)
timed("sleep", 30, function() plain(slope, sleep))
timed("sleep-satterthwaite", 20, function() summary(lmerTest::lmer(slope, sleep)))
timed("sleep-kenward-roger", 10, function() summary(lmerTest::lmer(slope, sleep), ddf = "Kenward-Roger"))
timed("sleep-profile", 3, function() confint(ml, method = "profile", quiet = TRUE))
timed("sleep-bootstrap", 1, function() bootMer(m, function(f) c(fixef(f), getME(f, "theta"), sigma(f)), nsim = 1000))
trial <- expand.grid(swing = 1:10, session = c("a", "b"), golfer = factor(1:40))
draw <- function() {
  mean <- rnorm(40, 0, 1.5); change <- rnorm(40, 0.4, 0.5)
  mean[trial$golfer] + (trial$session == "b") * change[trial$golfer] + rnorm(800, 0, 1.5)
}
nested <- y ~ session + (session | golfer)
timed("trial", 1, function() for (k in 1:1000) { trial$y <- draw(); plain(nested, trial) })
timed("trial-kenward-roger", 1, function() for (k in 1:1000) {
  trial$y <- draw(); summary(lmerTest::lmer(nested, trial), ddf = "Kenward-Roger")
})
if (large != "-") {
  pupils <- read.csv(file.path(large, "egsingle.csv"))
  timed("pupils", 5, function() plain(math ~ year + female + (year | schoolid) + (year | childid), pupils))
  ratings <- read.csv(file.path(large, "insteval.csv"))
  ratings[c("s", "d", "dept", "service")] <- lapply(ratings[c("s", "d", "dept", "service")], factor)
  timed("lecturers", 1, function() plain(y ~ service + (1 | s) + (1 | d) + (1 | dept) + (1 | dept:service), ratings))
  words <- read.csv(file.path(large, "verbagg.csv"))
  timed("crossed-binary", 3, function()
    glmer(yes ~ Anger + Gender + btype + situ + (1 | id) + (1 | item), words, family = binomial))
  wine <- read.csv(file.path(large, "wine.csv")); wine$rating <- factor(wine$rating, ordered = TRUE)
  timed("ordinal", 20, function() clmm(rating ~ temp + contact + (1 | judge), wine))
}
