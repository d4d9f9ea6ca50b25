// SPDX-License-Identifier: MIT
using CsCheck;
using Fumecast.Flow;
using Fumecast.Motion;

namespace Fumecast.Tests.Properties;

/// <summary>What holds for the evenness of any flow.</summary>
public class EvennessLaws
{
    private readonly record struct Piece(double From, double To, double Seconds);

    // Ramps, plateaus, ramps from rest, and ramps so narrow that they count as plateaus.
    private static readonly Gen<Piece[]> Jobs = Gen.OneOf(
        Gen.Select(Gen.Double[0.01, 60], Gen.Double[0.01, 60], Gen.Double[1e-4, 10], (from, to, s) => new Piece(from, to, s)),
        Gen.Select(Gen.Double[0.01, 60], Gen.Double[1e-4, 10], (q, s) => new Piece(q, q, s)),
        Gen.Select(Gen.Double[0.01, 60], Gen.Double[1e-4, 10], (q, s) => new Piece(0, q, s)),
        Gen.Select(Gen.Double[0.01, 60], Gen.Double[1e-4, 10], (q, s) => new Piece(q, q * (1 + 1e-8), s))).Array[1, 60];

    private static FlowDistribution Distribution(IEnumerable<Piece> pieces)
    {
        var distribution = new FlowDistribution();
        foreach (var piece in pieces)
        {
            if (piece.From == piece.To)
            {
                distribution.AddConstant(piece.From, piece.Seconds);
            }
            else
            {
                distribution.AddRamp(Math.Min(piece.From, piece.To), Math.Max(piece.From, piece.To), piece.Seconds);
            }
        }

        return distribution;
    }

    private static FlowEvenness Evenness(IEnumerable<Piece> pieces)
    {
        var evenness = new EvennessAccumulator(10);
        foreach (var piece in pieces)
        {
            evenness.AddRamp(piece.From, piece.To, piece.Seconds);
        }

        return evenness.Result();
    }

    /// <summary>The slow way: every piece asked for its own share.</summary>
    private static double SecondsBelow(Piece[] pieces, double flow) => pieces.Sum(piece =>
    {
        var (low, high) = (Math.Min(piece.From, piece.To), Math.Max(piece.From, piece.To));
        return piece.Seconds * (low == high ? flow >= low ? 1 : 0 : Math.Clamp((flow - low) / (high - low), 0, 1));
    });

    // Cell edges are binary fractions, such as 1.25, 5 and 17. A ramp narrower than a millionth of its flow counts as constant, so flows that close are not told apart.
    [Fact]
    public void Distribution_agrees_with_the_slow_referee_at_the_edges_of_cells() =>
        Gen.Select(Jobs, Gen.Int[0, 12 * 128]).Sample((pieces, cell) =>
        {
            var edge = (1 + cell % 128 / 128.0) * Math.Pow(2, cell / 128 - 6);
            var fast = Distribution(pieces).SecondsBelow(edge, including: true);
            var rounding = pieces.Sum(piece => piece.Seconds) * 1e-9;
            Assert.InRange(fast, SecondsBelow(pieces, edge * (1 - 2e-6)) - rounding, SecondsBelow(pieces, edge * (1 + 2e-6)) + rounding);
            if (!pieces.Any(piece => piece.From != piece.To && Math.Abs(piece.To - piece.From) <= 2e-6 * piece.To))
            {
                Assert.Equal(SecondsBelow(pieces, edge), fast, rounding);
            }
        });

    private static void AddParts(EvennessAccumulator evenness, double start, double peak, double end, double riseS, double constantS, double fallS)
    {
        evenness.AddRamp(start, peak, riseS);
        evenness.AddConstant(peak, constantS);
        evenness.AddRamp(peak, end, fallS);
    }

    [Fact]
    public void Whole_moves_count_as_their_rise_their_plateau_and_their_fall() =>
        Gen.Select(Gen.OneOf(Gen.Double[0, 60], Gen.Const(8.0)), Gen.OneOf(Gen.Double[0, 1e-5], Gen.Double[0, 20]), Gen.Double[0.1, 1000], Gen.Double[0, 2], Gen.Bool)
            .Array[1, TrapezoidBatch.Size].Sample(moves =>
        {
            var whole = new EvennessAccumulator(10);
            var parts = new EvennessAccumulator(10);
            whole.AddConstant(5, 1);
            parts.AddConstant(5, 1);
            var (window, times, flows) = (new MoveWindow(TrapezoidBatch.Size), new TrapezoidBatch(), new MoveFlows());
            for (var i = 0; i < moves.Length; i++)
            {
                var (start, above, steepness, plateauS, isSharp) = moves[i];
                var end = i + 1 < moves.Length ? moves[i + 1].Item1 : 0;
                var peak = Math.Max(0.01, Math.Max(start, end) + above);
                var constantS = isSharp ? 0 : plateauS;
                var (riseS, fallS) = ((peak - start) / steepness, (peak - end) / steepness);
                (window.Feed[i], window.Payload[i].DepositAreaMm2, window.Accel[i]) = (1, 1, steepness);
                (times.Start[i], times.Peak[i], times.Start[i + 1]) = (start, peak, end);
                (times.SpeedUp[i], times.Cruise[i], times.SlowDown[i]) = (riseS, constantS, fallS);
                AddParts(parts, start, peak, end, riseS, constantS, fallS);
            }

            flows.Fill(new TimedMoves(window, 0, times, 0, moves.Length), whole.ReferenceMm3PerS);
            for (var i = 0; i < moves.Length;)
            {
                var to = i;
                while (to < moves.Length && double.IsFinite(flows.DurationS[to]))
                {
                    to++;
                }

                whole.Add(flows, i, to);
                if (to < moves.Length)
                {
                    AddParts(whole, times.Start[to], times.Peak[to], times.Start[to + 1], times.SpeedUp[to], times.Cruise[to], times.SlowDown[to]);
                }

                i = to + 1;
            }

            whole.AddCell(0, 1, 1);
            parts.AddCell(0, 1, 1);
            var (expected, actual) = (parts.Result(), whole.Result());
            Assert.Equal(expected.MeanMm3PerS!.Value, actual.MeanMm3PerS!.Value, 1e-9);
            Assert.Equal(expected.CvWhileExtruding!.Value, actual.CvWhileExtruding!.Value, 1e-6);
            Assert.Equal(expected.MedianMm3PerS!.Value, actual.MedianMm3PerS!.Value, 1e-6 * expected.MedianMm3PerS!.Value);
            Assert.Equal(expected.ShareWithin10Percent!.Value, actual.ShareWithin10Percent!.Value, 1e-6);
        });

    [Fact]
    public void Distribution_is_off_elsewhere_by_no_more_than_the_time_within_the_cell() =>
        Gen.Select(Jobs, Gen.Double[0.01, 60]).Sample((pieces, flow) =>
        {
            var fast = Distribution(pieces).SecondsBelow(flow, including: true);
            var slackS = pieces.Sum(piece => piece.Seconds) * 1e-9;
            Assert.InRange(fast, SecondsBelow(pieces, flow * (1 - 1 / 128.0)) - slackS, SecondsBelow(pieces, flow * (1 + 1 / 128.0)) + slackS);
        });

    [Fact]
    public void Median_has_half_of_the_time_on_either_side_to_the_width_of_a_cell() =>
        Jobs.Sample(pieces =>
        {
            var median = Distribution(pieces).Median()!.Value;
            var total = pieces.Sum(piece => piece.Seconds);
            Assert.True(SecondsBelow(pieces, median * (1 - 1 / 128.0)) <= 0.5 * total * (1 + 1e-9));
            Assert.True(SecondsBelow(pieces, median * (1 + 1 / 128.0)) >= 0.5 * total * (1 - 1e-9));
        });

    [Fact]
    public void Splitting_a_piece_changes_nothing() =>
        Gen.Select(Jobs, Gen.Double[0.1, 0.9]).Sample((pieces, at) => Same(
            Evenness(pieces),
            Evenness(pieces.SelectMany(piece =>
            {
                var middle = piece.From + (piece.To - piece.From) * at;
                return new[] { new Piece(piece.From, middle, piece.Seconds * at), new Piece(middle, piece.To, piece.Seconds * (1 - at)) };
            })),
            1));

    [Fact]
    public void Order_of_the_pieces_does_not_matter() =>
        Jobs.Sample(pieces => Same(Evenness(pieces), Evenness(pieces.Reverse()), 1, sameCells: true));

    // By a power of two, so that each value falls on the same place of its cell.
    [Fact]
    public void Twice_the_flow_is_twice_the_mean_and_just_as_even() =>
        Jobs.Sample(pieces => Same(
            Evenness(pieces), Evenness(pieces.Select(piece => piece with { From = 2 * piece.From, To = 2 * piece.To })), 2, sameCells: true));

    [Fact]
    public void Merged_cells_keep_the_sum_and_the_place_of_the_deposits() =>
        Gen.Select(Gen.Int[0, 4000], Gen.Double[0.001, 20]).Array[1, 200].Sample(deposits =>
        {
            var series = new CoarseningSeries(64);
            foreach (var (second, volume) in deposits)
            {
                series.Add(second + 0.25, 0.5, volume);
            }

            Assert.InRange(series.Count, 1, 64);
            var volumes = series.VolumesMm3.ToArray();
            for (var i = 0; i < volumes.Length; i++)
            {
                var expected = deposits.Where(deposit => (int)(deposit.Item1 / series.CellS) == i).Sum(deposit => deposit.Item2);
                Close.To(expected, volumes[i], 1e-12);
            }
        });

    [Fact]
    public void Interval_means_agree_with_those_of_a_plain_list() =>
        Gen.Select(Gen.Double[0, 5].Array[1, 300], Gen.Int[1, 20]).Sample((flows, interval) =>
        {
            flows[^1] += 1;
            var moments = new IntervalMoments(interval);
            for (var second = 0; second < flows.Length; second++)
            {
                var flow = flows[second] < 2.5 && second < flows.Length - 1 ? flows[second] = 0 : flows[second];
                moments.Add(second, 1, flow);
            }

            var means = flows.Chunk(interval).Where(chunk => chunk.Length == interval).Select(chunk => chunk.Average()).ToArray();
            var mean = means.Length > 0 ? means.Average() : 0;
            var cv = moments.Cv(flows.Length);
            if (means.Length < 2 || mean == 0)
            {
                Assert.Null(cv);
            }
            else
            {
                Assert.Equal(Math.Sqrt(means.Average(value => (value - mean) * (value - mean))) / mean, cv!.Value, 1e-9);
            }
        });

    [Fact]
    public void Cells_cut_in_parts_give_the_same_interval_means() =>
        Gen.Select(Gen.Double[0.1, 5].Array[30, 100], Gen.Double[0.1, 7], Gen.Double[0.1, 0.9]).Sample((flows, interval, at) =>
        {
            var (whole, cut) = (new IntervalMoments(interval), new IntervalMoments(interval));
            for (var second = 0; second < flows.Length; second++)
            {
                whole.Add(second, 1, flows[second]);
                cut.Add(second, at, flows[second] * at);
                cut.Add(second + at, 1 - at, flows[second] * (1 - at));
            }

            Assert.Equal(whole.Cv(flows.Length)!.Value, cut.Cv(flows.Length)!.Value, 1e-7);
        });

    [Fact]
    public void Steady_stretch_does_not_depend_on_how_pieces_are_cut() =>
        Gen.Select(Jobs, Gen.Double[0.1, 0.9]).Sample((pieces, at) =>
        {
            var (whole, cut) = (new SteadyStretch(4, 40), new SteadyStretch(4, 40));
            foreach (var piece in pieces)
            {
                var middle = piece.From + (piece.To - piece.From) * at;
                whole.Add(piece.From, piece.To, piece.Seconds);
                cut.Add(piece.From, middle, piece.Seconds * at);
                cut.Add(middle, piece.To, piece.Seconds * (1 - at));
            }

            Assert.Equal(whole.LongestS, cut.LongestS, 1e-9 * (1 + whole.LongestS));
        });

    private static void Same(FlowEvenness a, FlowEvenness b, double scale, bool sameCells = false)
    {
        Close.To(scale * a.MeanMm3PerS!.Value, b.MeanMm3PerS!.Value, 1e-9);
        Assert.Equal(a.CvInstant!.Value, b.CvInstant!.Value, 1e-6);
        Assert.Equal(a.CvWhileExtruding!.Value, b.CvWhileExtruding!.Value, 1e-6);

        // A new corner within a cell is known to the width of the cell only.
        Assert.InRange(b.MedianMm3PerS!.Value / (scale * a.MedianMm3PerS!.Value), 1 - (sameCells ? 1e-6 : 1 / 64.0), 1 + (sameCells ? 1e-6 : 1 / 64.0));
        if (sameCells)
        {
            Assert.Equal(a.ShareWithin10Percent!.Value, b.ShareWithin10Percent!.Value, 1e-6);
        }
    }
}
