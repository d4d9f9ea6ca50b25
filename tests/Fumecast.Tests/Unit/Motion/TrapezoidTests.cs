// SPDX-License-Identifier: MIT
using CsCheck;
using Fumecast.Motion;

namespace Fumecast.Tests.Unit.Motion;

public class TrapezoidTests
{
    private static readonly Gen<TimedMove> Moves = Gen.Select(
        Gen.OneOf(Gen.Double[1e-6, 0.01], Gen.Double[0.01, 100]),
        Gen.Double[0, 1],
        Gen.Double[0, 1],
        Gen.Double[5, 400],
        Gen.Double[100, 9000],
        (d, s, e, top, a) =>
        {
            // Ends that the length can join: |v_e^2 - v_s^2| <= 2 a d.
            var vs = s < 0.2 ? 0 : s * top;
            var low = Math.Sqrt(Math.Max(0, (vs * vs) - (2 * a * d)));
            var high = Math.Min(top, Math.Sqrt((vs * vs) + (2 * a * d)));
            return Trapezoid.Plan(d, vs, low + (e * (high - low)), top, a);
        });

    // 10 mm at 1000 mm/s2: a ramp to 100 mm/s needs 5 mm, so the move is all ramp: 2 sqrt(10 / 1000) s.
    [Fact]
    public void Move_no_longer_than_its_two_ramps_never_cruises()
    {
        var move = Trapezoid.Plan(10, 0, 0, 100, 1000);
        Close.To(0.2, move.DurationS, 1e-14);
        Assert.InRange(move.CruiseS, 0, 1e-15);
    }

    [Fact]
    public void Both_ends_are_exact() => Moves.Sample(
        m =>
        {
            Assert.Equal(0, Trapezoid.PathAt(m, 0));
            Assert.Equal(m.LengthMm, Trapezoid.PathAt(m, m.DurationS));
            Assert.Equal(0, Trapezoid.TimeAt(m, 0));
            Assert.Equal(m.DurationS, Trapezoid.TimeAt(m, m.LengthMm));
            Assert.Equal(0, Trapezoid.PathAt(m, -1));
            Assert.Equal(m.LengthMm, Trapezoid.PathAt(m, m.DurationS + 1));
            Assert.Equal(0, Trapezoid.TimeAt(m, -1));
            Assert.Equal(m.DurationS, Trapezoid.TimeAt(m, m.LengthMm + 1));
            Assert.Equal(0, Trapezoid.PathAt(m, double.NaN));
        });

    [Fact]
    public void Time_and_path_undo_each_other() => Gen.Select(Moves, Gen.Double[0, 1]).Sample(
        (m, share) =>
        {
            var path = share * m.LengthMm;
            var back = Trapezoid.PathAt(m, Trapezoid.TimeAt(m, path));
            Assert.InRange(back - path, -1e-12 * m.LengthMm, 1e-12 * m.LengthMm);
        },
        iter: 5000);

    // Speed is the slope of the path, and the integral of its square is that of a fine sum (kinks within a step set the tolerances).
    [Fact]
    public void Speed_and_its_integrals_agree() => Gen.Select(Moves, Gen.Double[0.05, 0.95]).Sample(
        (m, share) =>
        {
            const int Steps = 4000;
            var dt = m.DurationS / Steps;
            var t = share * m.DurationS;
            Close.To(Trapezoid.SpeedAt(m, t), Trapezoid.PathBetween(m, t - dt, t + dt) / (2 * dt), 1e-2);
            var sum = 0.0;
            for (var i = 0; i < Steps; i++)
            {
                var v = Trapezoid.SpeedAt(m, (i + 0.5) * dt);
                sum += v * v * dt;
            }

            Close.To(sum, Trapezoid.SpeedSquaredBetween(m, 0, m.DurationS), 3e-4);
            Close.To(
                Trapezoid.SpeedSquaredBetween(m, 0, m.DurationS),
                Trapezoid.SpeedSquaredBetween(m, -1, t) + Trapezoid.SpeedSquaredBetween(m, t, m.DurationS + 1),
                1e-12);
        },
        iter: 300);
}
