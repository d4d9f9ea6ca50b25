// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;

namespace Fumecast.Trial;

/// <summary>What a meter sees of a flow of filament in well-mixed air: the mean over each record of the level that 1 unit for each gram makes in 1 m3.</summary>
/// <remarks>
/// dC/dt = g(t) - L C, solved exactly from one change to the next; in an enclosure the air of the box is filled first, db/dt = g - K b,
/// and the room gets K b. Source: trial methods, 2.
/// </remarks>
internal static class AirResponse
{
    /// <summary>Fills the mean response over each record [g h/m3 over m3: times an emission for each gram, over the volume, a level].</summary>
    /// <param name="flow">The flow.</param>
    /// <param name="jobStartH">When the flow begins on the clock of the records [h].</param>
    /// <param name="lossPerH">Loss rate of the room [1/h], over 0.</param>
    /// <param name="boxLossPerH">Loss rate of the enclosure [1/h], over that of the room; null without one.</param>
    /// <param name="records">The records.</param>
    /// <param name="response">Receives one mean for each record.</param>
    public static void Fill(FlowSteps flow, double jobStartH, double lossPerH, double? boxLossPerH, RunRecords records, Span<double> response)
    {
        var air = new AirOfJob(flow, jobStartH, lossPerH, boxLossPerH, records.StartsH[0]);
        for (var i = 0; i < records.StartsH.Length; i++)
        {
            var start = records.StartsH[i];
            // Records of a jittering clock may overlap by a little; the air is followed once.
            var end = start + records.LengthH;
            if (i + 1 < records.StartsH.Length)
            {
                end = Math.Min(end, records.StartsH[i + 1]);
            }

            air.AdvanceTo(start);
            response[i] = air.AdvanceTo(end) / (end - start);
        }
    }

    private ref struct AirOfJob
    {
        private readonly FlowSteps _flow;
        private readonly double _jobStartH, _loss;
        private readonly double? _boxLoss;
        private double _nowH, _level, _inBox;
        private int _next;

        public AirOfJob(FlowSteps flow, double jobStartH, double lossPerH, double? boxLossPerH, double firstRecordH)
        {
            (_flow, _jobStartH, _loss, _boxLoss) = (flow, jobStartH, lossPerH, boxLossPerH);
            _nowH = Math.Min(jobStartH + flow.StartsH[0], firstRecordH);
        }

        /// <summary>Follows the air up to a time and gives the integral of the level on the way.</summary>
        public double AdvanceTo(double timeH)
        {
            var integral = 0.0;
            while (_nowH < timeH)
            {
                while (_next < _flow.StartsH.Length && _jobStartH + _flow.StartsH[_next] <= _nowH)
                {
                    _next++;
                }

                var until = _next < _flow.StartsH.Length ? Math.Min(timeH, _jobStartH + _flow.StartsH[_next]) : timeH;
                integral += Step(_next == 0 ? 0 : _flow.FlowGPerH[_next - 1], until - _nowH);
                _nowH = until;
            }

            return integral;
        }

        private double Step(double flow, double hours)
        {
            if (flow == 0 && _level == 0 && _inBox == 0)
            {
                return 0;
            }

            var filled = Decay.Mean(_loss * hours) * hours;
            var kept = 1 - _loss * filled;
            var level = _level * kept + flow * filled;
            var inBox = 0.0;
            if (_boxLoss is { } boxLoss)
            {
                var boxFilled = Decay.Mean(boxLoss * hours) * hours;
                inBox = _inBox * (1 - boxLoss * boxFilled) + flow * boxFilled;
                level -= (flow - boxLoss * _inBox) * kept * Decay.Mean((boxLoss - _loss) * hours) * hours;
            }

            // What came and neither left nor stays was lost: loss times the integral.
            var integral = (flow * hours - (inBox - _inBox) - (level - _level)) / _loss;
            (_level, _inBox) = (level, inBox);
            return integral;
        }
    }
}
