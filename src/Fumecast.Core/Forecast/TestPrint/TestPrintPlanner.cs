// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Inputs;

namespace Fumecast.Forecast.TestPrint;

/// <summary>Chooses the geometry of a test print.</summary>
/// <remarks>
/// <para>Speed follows from the flow and the strand's cross-section. A single wall is taken where one fits that is wide enough for the corners,
/// takes at least 10 s a turn so that plastic can set, and is no higher than three quarters of its width; among those the smallest (the
/// widest, where none takes 10 s). Otherwise a ring as wide as the bed allows, with as few strands as keep it no higher than wide; if that is
/// not enough, up to three times as high.</para>
/// <para>The first layer keeps the flow. Slower alone would mean less flow, so its strand gets the cross-section that the slower speed needs:
/// up to one and a half times as high and twice as wide as the others (common practice, no source), which also helps it to stick.</para>
/// </remarks>
internal static class TestPrintPlanner
{
    // Common practice, no source, for all of these.
    private const double EdgeMm = 8;
    private const double BrimMm = 4;
    private const int WallBaseTurns = 3;
    private const double SettleS = 10;
    private const double LeastRadiusMm = 12;
    private const double LeadInMm = 30;
    private const double FirstLayerMostHeight = 1.5;
    private const double FirstLayerMostWidth = 2;
    private const double FirstLayerComfortMmPerS = 20;
    private const double LiftMm = 5;
    internal const double WallHeightOverWidth = 0.75;
    private const double RingHeightOverWidth = 1;
    internal const double SlenderRingHeightOverWidth = 3;

    /// <summary>Plans a test print.</summary>
    /// <param name="request">What is wanted.</param>
    /// <param name="cancel">Stops the work.</param>
    /// <exception cref="InputProblem">The request cannot be met; the message says what would be possible.</exception>
    /// <exception cref="OperationCanceledException">The work was stopped.</exception>
    public static TestPrintPlan Plan(TestPrintRequest request, CancellationToken cancel = default)
    {
        TestPrintRequestChecks.Require(request);
        var limits = request.Printer.StartLimits();
        var corners = new CornerLimits(limits, request.Printer.LookaheadBlocks, request.WidthMm);
        var speed = WholeFeed(request.FlowMm3PerS / StrandMm2(request.WidthMm, request.LayerMm));
        var widest = Math.Min(request.Printer.BedXMm, request.Printer.BedYMm) / 2 - EdgeMm;
        TestPrintRequestChecks.RequireSpeed(request, limits, corners, speed, widest - 2 * BrimMm);

        var first = FirstLayer(request, speed);
        var draft = new Draft(request, speed, first, corners, widest);
        var plan = SingleWall(draft) ?? Ring(draft, RingHeightOverWidth) ?? Ring(draft, SlenderRingHeightOverWidth) ?? throw NoRoom(draft);
        var counter = new Counter(cancel);
        TestPrintPath.Walk(plan, ref counter);
        plan = plan with { FirstLayerLengthMm = counter.FirstLayerMm, UpperLengthMm = counter.UpperMm, HeightMm = counter.ZMm, Layers = counter.Layers, Pieces = counter.Pieces };
        return plan with { Notes = TestPrintNotes.For(plan) };
    }

    /// <summary>Cross-section of a strand: a rectangle with half-round sides [mm2]. Source: gcode reference, bead cross-section.</summary>
    internal static double StrandMm2(double widthMm, double heightMm) => (widthMm - heightMm) * heightMm + Math.PI * heightMm * heightMm / 4;

    /// <summary>Width of a strand of a cross-section [mm].</summary>
    internal static double StrandMm(double crossSectionMm2, double heightMm) => (crossSectionMm2 - Math.PI * heightMm * heightMm / 4) / heightMm + heightMm;

    /// <summary>A speed whose feed word is a whole number of mm/min, so that flow over speed is exact [mm/s].</summary>
    private static double WholeFeed(double speedMmPerS) => Math.Max(1, Math.Round(speedMmPerS * 60)) / 60;

    private static FirstLayerStrand FirstLayer(TestPrintRequest request, double speed)
    {
        var mostHeight = FirstLayerMostHeight * request.LayerMm;
        var mostMm2 = StrandMm2(FirstLayerMostWidth * request.WidthMm, mostHeight);
        var slowest = request.FlowMm3PerS / mostMm2;
        if (request.FirstLayerMmPerS < slowest)
        {
            throw new InputProblem(string.Create(CultureInfo.InvariantCulture,
                $"a first layer at {request.FirstLayerMmPerS:G4} mm/s cannot keep the flow of {request.FlowMm3PerS:G4} mm3/s: its strand would be more than twice as wide as the others; possible: {Math.Ceiling(slowest * 10) / 10:G4} mm/s or faster, or a lower flow"));
        }

        var wanted = Math.Min(speed, request.FirstLayerMmPerS ?? Math.Max(speed / 2, FirstLayerComfortMmPerS));
        var firstSpeed = wanted >= speed ? speed : WholeFeed(Math.Max(wanted, slowest));
        var mm2 = request.FlowMm3PerS / firstSpeed;
        // Height grows with the square root of the cross-section, until the limit, in steps of 0.01 mm; width takes the rest.
        var height = Math.Max(request.LayerMm, Math.Floor(100 * Math.Min(mostHeight, request.LayerMm * Math.Sqrt(speed / firstSpeed))) / 100);
        return new(firstSpeed, height, StrandMm(mm2, height));
    }

    private static TestPrintPlan? SingleWall(Draft draft)
    {
        var (request, first) = (draft.Request, draft.First);
        var baseMm = WallBaseTurns * request.WidthMm;
        var least = Math.Max(LeastRadiusMm, Math.Ceiling(draft.CornerRadiusMm + baseMm));
        TestPrintPlan? quick = null;
        for (var radius = least; ; radius++)
        {
            var inner = radius - baseMm;
            var turns = (int)Math.Ceiling((baseMm + BrimMm) / first.WidthMm);
            var outermost = inner + turns * first.WidthMm;
            if (outermost + first.WidthMm / 2 > draft.WidestMm)
            {
                return quick;
            }

            var plan = draft.Body(TestPrintShape.SingleWall, inner, radius, WallBaseTurns, outermost, turns);
            var wallMm = plan.UpperLengthMm - 2 * Math.PI * (inner + WallBaseTurns * (inner + radius) / 2);
            var height = first.HeightMm + request.LayerMm * (1 + wallMm / (2 * Math.PI * radius));
            if (height > draft.HighestMm(radius, WallHeightOverWidth))
            {
                continue;
            }

            const double LeastWallTurns = 5;
            var shortMm = LeastWallTurns * 2 * Math.PI * radius - wallMm;
            if (shortMm > 0)
            {
                return quick ?? throw TooShort(request, request.DurationS + shortMm / draft.SpeedMmPerS);
            }

            quick = plan;
            if (2 * Math.PI * radius / draft.SpeedMmPerS >= SettleS)
            {
                return plan;
            }
        }
    }

    private static TestPrintPlan? Ring(Draft draft, double heightOverWidth)
    {
        for (var turns = 1; ; turns++)
        {
            if (draft.RingOf(turns) is not { } plan)
            {
                return null;
            }

            const double LeastLayers = 3;
            var leastMm = LeastLayers * Draft.RingLayerMm(plan);
            if (plan.UpperLengthMm < leastMm)
            {
                throw TooShort(draft.Request, draft.Request.DurationS + (leastMm - plan.UpperLengthMm) / draft.SpeedMmPerS);
            }

            var height = draft.First.HeightMm + draft.Request.LayerMm * (1 + plan.UpperLengthMm / Draft.RingLayerMm(plan));
            if (height <= draft.HighestMm(plan.OuterRadiusMm, heightOverWidth))
            {
                return plan;
            }
        }
    }

    private static InputProblem TooShort(TestPrintRequest request, double seconds) => new(string.Create(CultureInfo.InvariantCulture,
        $"a print phase of {Span(request.DurationS)} is too short for a base and some turns on it at {request.FlowMm3PerS:G4} mm3/s; possible: {Span(Math.Ceiling(seconds / 60) * 60)} or longer, or a thinner line"));

    private static InputProblem NoRoom(Draft draft)
    {
        var turns = 1;
        while (draft.RingOf(turns + 1) is not null)
        {
            turns++;
        }

        if (draft.RingOf(turns) is not { } plan)
        {
            return new InputProblem(string.Create(CultureInfo.InvariantCulture,
                $"the bed of {draft.Request.Printer.BedXMm:G4} x {draft.Request.Printer.BedYMm:G4} mm has no room for a ring that keeps {draft.SpeedMmPerS:F0} mm/s in its curves; possible: a lower flow or a wider line"));
        }

        var layers = (draft.HighestMm(plan.OuterRadiusMm, SlenderRingHeightOverWidth) - draft.First.HeightMm) / draft.Request.LayerMm - 1;
        var longest = draft.Request.DurationS - plan.UpperLengthMm / draft.SpeedMmPerS + layers * Draft.RingLayerMm(plan) / draft.SpeedMmPerS;
        var longestS = Math.Floor(longest * 0.98 / 60) * 60;
        return new InputProblem(string.Create(CultureInfo.InvariantCulture,
            $"{Span(draft.Request.DurationS)} at {draft.Request.FlowMm3PerS:G4} mm3/s is more plastic than this printer has room for; possible: up to {Span(longestS)} at this flow, or up to {Math.Floor(draft.Request.FlowMm3PerS * 0.95 * longest / draft.Request.DurationS * 100) / 100:G4} mm3/s for this time"));
    }

    /// <summary>A length of time in words.</summary>
    internal static string Span(double seconds) =>
        seconds < 5400 ? FormattableString.Invariant($"{seconds / 60:0.#} min") : FormattableString.Invariant($"{seconds / 3600:0.##} h");

    /// <summary>The first layer's strand, of the same flow as the others.</summary>
    private readonly record struct FirstLayerStrand(double SpeedMmPerS, double HeightMm, double WidthMm);

    /// <summary>What all candidates share.</summary>
    private sealed record Draft(TestPrintRequest Request, double SpeedMmPerS, FirstLayerStrand First, CornerLimits Corners, double WidestMm)
    {
        public double CornerRadiusMm { get; } = Corners.RadiusMm(SpeedMmPerS, Request.LayerMm);

        private double TurnRad { get; } = Corners.TurnRad(SpeedMmPerS);

        public double HighestMm(double radius, double heightOverWidth) => Math.Min(Request.Printer.HeightMm - LiftMm, heightOverWidth * 2 * radius);

        public TestPrintPlan? RingOf(int turns)
        {
            var outer = WidestMm - BrimMm - First.WidthMm;
            var inner = outer - turns * Request.WidthMm;
            if (inner < Math.Max(LeastRadiusMm, CornerRadiusMm))
            {
                return null;
            }

            var firstTurns = (int)Math.Floor((WidestMm - First.WidthMm / 2 - inner) / First.WidthMm);
            return Body(TestPrintShape.Ring, inner, outer, turns, inner + firstTurns * First.WidthMm, firstTurns);
        }

        /// <summary>Mean length of a layer of a ring with its climbing turn, which lies on the inner and outer edge in turn [mm].</summary>
        public static double RingLayerMm(TestPrintPlan plan) => Math.PI * (plan.InnerRadiusMm + plan.OuterRadiusMm) * (plan.Turns + 1);

        public TestPrintPlan Body(TestPrintShape shape, double inner, double outer, int turns, double outermost, int firstTurns)
        {
            var leadIn = Math.Min(LeadInMm, outermost);
            var firstMm = leadIn + Math.PI * firstTurns * (inner + outermost);
            return new(Request)
            {
                Shape = shape,
                CentreXMm = Request.Printer.BedXMm / 2,
                CentreYMm = Request.Printer.BedYMm / 2,
                InnerRadiusMm = inner,
                OuterRadiusMm = outer,
                Turns = turns,
                FirstLayerRadiusMm = outermost,
                FirstLayerTurns = firstTurns,
                FirstLayerMm = First.HeightMm,
                FirstLayerWidthMm = First.WidthMm,
                LeadInMm = leadIn,
                FirstLayerMmPerS = First.SpeedMmPerS,
                SpeedMmPerS = SpeedMmPerS,
                UpperLengthMm = (Request.DurationS - firstMm / First.SpeedMmPerS) * SpeedMmPerS,
                TurnLimitRad = TurnRad,
            };
        }
    }

    private struct Counter(CancellationToken cancel) : ITestPrintSink
    {
        public double FirstLayerMm;
        public double UpperMm;
        public double ZMm;
        public int Layers;
        public long Pieces;

        public readonly void Start(double xMm, double yMm, double zMm)
        {
        }

        public void Layer(int number, double zMm)
        {
            cancel.ThrowIfCancellationRequested();
            Layers = number;
        }

        public void Piece(double xMm, double yMm, double zMm, double lengthMm, bool firstLayer)
        {
            Pieces++;
            ZMm = zMm;
            FirstLayerMm += firstLayer ? lengthMm : 0;
            UpperMm += firstLayer ? 0 : lengthMm;
        }
    }
}
