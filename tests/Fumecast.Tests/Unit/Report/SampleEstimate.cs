// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Emission;
using Fumecast.Flow;
using Fumecast.Forecast;
using Fumecast.GCode;
using Fumecast.Uncertainty;

namespace Fumecast.Tests.Unit.Report;

/// <summary>An estimate made by hand, with every kind of content; the numbers are invented.</summary>
internal static class SampleEstimate
{
    public static JobEstimate Make() => new()
    {
        Job = new JobSummary
        {
            File = "lamp-foot.gcode",
            Bytes = 1_204_551,
            Lines = 40_211,
            Commands = 39_950,
            ExtrudingMoves = 31_007,
            Layers = 118,
            Printer = "middle",
            Dialect = "classic",
            Time = new JobTime
            {
                TotalS = 11_520,
                MotionS = 11_150.25,
                HeatingS = 310.5,
                DwellS = 0,
                HomingS = 59.25,
                ToolChangeS = 0,
                MacroS = 0,
                WaitingForPersonS = 0,
            },
            Tools =
            [
                new ToolSummary
                {
                    Tool = 0,
                    Material = "abs",
                    FedMm = 17_190,
                    DepositedMm = 17_195.5,
                    DepositedMm3 = 41_360.2,
                    DepositedG = 43.01,
                    PurgedMm = 30,
                    NozzleMinC = 239.5,
                    NozzleMaxC = 245,
                    NozzleMeanWhileExtrudingC = 240.2,
                },
            ],
            Claims = new JobClaims { TimeS = 12_000, FilamentMm = 17_200, Material = "ABS" },
        },
        Flow = new FlowEvenness
        {
            IntervalS = 10,
            MeanMm3PerS = 3.72,
            MedianMm3PerS = 4.1,
            IdleShare = 0.12,
            CvInstant = 0.55,
            Cv = 0.31,
            CvWhileExtruding = 0.22,
            ShareWithin10Percent = 0.41,
            LongestSteadyS = 95,
            DominantPeriodS = 94.5,
            DominantPeriodStrength = 0.6,
            Allan = [new AllanPoint(10, 0.3), new AllanPoint(20, 0.21)],
            PrintPhaseS = 11_000,
            FlowGrade = EvennessGrade.Fair,
            Source = new(Judged(0.18, EvennessGrade.Uneven), Judged(0.03, EvennessGrade.Flat)),
            Grade = EvennessGrade.Uneven,
        },
        Emission =
        [
            Emitted(new Agent("particle_number", "Particles", "1"), 3.46e12, 15, "B", "within a factor of 15 either way (90 % interval)"),
            Emitted(new Agent("particle_mass", "Particle mass", "ug"), 312, 15, "C", "within a factor of 15 either way (90 % interval)"),
            Emitted(new Agent("tvoc", "TVOC", "ug"), 6450, 4, "B", "within a factor of 4 either way (90 % interval)"),
            Emitted(new Agent("styrene", "Styrene", "ug", "100-42-5"), 3870, 4.5, "C", "within a factor of 4.5"),
            Emitted(new Agent("ethylbenzene", "Ethylbenzene", "ug", "100-41-4"), 645, 4.5, "C", "within a factor of 4.5"),
        ],
        Interval = 0.9,
        Settings =
        [
            new ResolvedSetting("printer", "middle", "assumed, since no --printer was given"),
            new ResolvedSetting("material of tool 0", "abs", "the job's comment says ABS", 40_190),
        ],
        Diagnostics =
        [
            new Diagnostic("unknown-macro", Severity.Warning, 12, 1, 3, "CLEAN_NOZZLE is not known to the profile; its time is not counted", true),
            new Diagnostic("thumbnail", Severity.Note, 3, 1, 1, "a preview picture was passed over"),
            new Diagnostic("no-layers", Severity.Warning, 0, 0, 1, "no layer marks found"),
        ],
        Sources =
        [
            new SourceReference("made2020", "Author A. (2020). An invented study of \"hot\" nozzles, été. Journal 1(2), 3-4.", "10.0000/invented", "read"),
            new SourceReference("made2021", "Author B. (2021). Another one.", null, "recalled"),
        ],
        Cautions = ["This is an estimate, not an exposure assessment.", "Never leave a hot printer unattended."],
    };

    private static AgentEvenness Judged(double wander, EvennessGrade grade) =>
        new() { Cv = wander, PlateauWander = wander, PlateauFromS = 0, PlateauToS = 11_000, Grade = grade };

    private static AgentEmission Emitted(Agent agent, double total, double factor, string grade, string sure) => new()
    {
        Agent = agent,
        Interval = 0.9,
        Total = Spread(total, factor),
        PerGram = Spread(total / 43.01, factor),
        PeakPerMin = Spread(total / 90, factor),
        PeakAtS = 725,
        WarmUp = Spread(0.004 * total, factor),
        Printing = Spread(0.966 * total, factor),
        IdleHot = Spread(0.03 * total, factor),
        Grade = grade,
        ExtrapolatedShare = agent == Agent.Tvoc ? 0.12 : 0,
        Sources = ["made2020"],
        HowSure = sure,
    };

    private static Uncertain Spread(double median, double factor) => new(median / factor, median, median * factor);
}
