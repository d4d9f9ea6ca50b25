// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Runtime.CompilerServices;

namespace Fumecast.Heat;

/// <summary>A heated block under simple control, advanced exactly from event to event: full power up to the target, then exactly the target.</summary>
/// <remarks>
/// <para>Above the target the power is off. At the target the power is h (T - Tambient); where that is more than the heater has,
/// the block sags towards Tambient + Pmax / h. After a target is raised from off or from holding, power takes
/// <see cref="HeaterModel.DeadTimeS"/> to show; until then the block goes on as before.</para>
/// <para>Overshoot and the lag of the sensor are left out: the block, not the reading, is driven to the target.</para>
/// <para>Source of the model: gcode reference, 6.1 and 6.3; checks H1 to H4 and H6.</para>
/// </remarks>
internal sealed class Heater
{
    private readonly HeaterModel _model;
    private readonly double _ambientC;
    private readonly double _lossFanWPerK;
    private double _deadS;
    private double _holdDuringDeadC = double.NaN;
    private double _targetC = double.NaN;

    /// <summary>Makes a heater at ambient temperature, switched off.</summary>
    /// <param name="model">Power, heat capacity and losses.</param>
    /// <param name="ambientC">Temperature of the air around it [degC], -273.15 to 1000.</param>
    /// <exception cref="ArgumentOutOfRangeException">A value of the model is not finite or has the wrong sign, or the air is out of range.</exception>
    public Heater(HeaterModel model, double ambientC)
    {
        ArgumentNullException.ThrowIfNull(model);
        RequireWithin(model.PowerW, 1e-6, 1e6, "model.PowerW [W]");
        RequireWithin(model.HeatCapacityJPerK, 1e-6, 1e6, "model.HeatCapacityJPerK [J/K]");
        RequireWithin(model.LossWPerK, 0, 1e6, "model.LossWPerK [W/K]");
        RequireWithin(model.LossFanFullWPerK, 0, 1e6, "model.LossFanFullWPerK [W/K]");
        RequireWithin(model.DeadTimeS, 0, 1e6, "model.DeadTimeS [s]");
        RequireWithin(ambientC, -273.15, 1000, "ambientC [degC]");

        _model = model;
        _ambientC = ambientC;
        _lossFanWPerK = model.LossFanFullWPerK - model.LossWPerK;
        TemperatureC = LastMeanC = ambientC;
    }

    /// <summary>Temperature of the block now [degC].</summary>
    public double TemperatureC { get; private set; }

    /// <summary>Target, or null when off [degC].</summary>
    public double? TargetC => double.IsNaN(_targetC) ? null : _targetC;

    /// <summary>Mean temperature over the last <see cref="Advance"/> [degC]; the present one before the first.</summary>
    public double LastMeanC { get; private set; }

    /// <summary>How long the block has been exactly at its target without a break [s].</summary>
    public double HeldS { get; private set; }

    /// <summary>Temperature of the air around it [degC].</summary>
    public double AmbientC => _ambientC;

    /// <summary>Sets the target; the temperature itself changes with time only.</summary>
    /// <param name="targetC">New target [degC]; null, 0 or less switches off. Plausibility is the caller's concern.</param>
    /// <exception cref="ArgumentOutOfRangeException">The target is not finite or beyond 1e6 degC.</exception>
    public void SetTarget(double? targetC)
    {
        if (targetC is { } given)
        {
            RequireWithin(given, double.MinValue, 1e6, "targetC [degC]");
        }

        var next = targetC is null or <= 0 ? double.NaN : targetC.Value;

        if (next.Equals(_targetC))
        {
            return;
        }

        var wasHeating = _deadS > 0 || TemperatureC < _targetC;
        var wasHolding = _deadS <= 0 && TemperatureC == _targetC;
        if (!(TemperatureC < next))
        {
            _deadS = 0;
        }
        else if (!wasHeating)
        {
            _deadS = _model.DeadTimeS;
            _holdDuringDeadC = wasHolding ? TemperatureC : double.NaN;
        }

        _targetC = next;
        HeldS = 0;
    }

    /// <summary>Puts the block at a temperature, for a job that starts warm.</summary>
    /// <param name="temperatureC">Temperature [degC], -273.15 to 1000.</param>
    /// <exception cref="ArgumentOutOfRangeException">The temperature is out of range.</exception>
    public void StartAt(double temperatureC)
    {
        RequireWithin(temperatureC, -273.15, 1000, "temperatureC [degC]");
        TemperatureC = LastMeanC = temperatureC;
        HeldS = 0;
        _deadS = 0;
    }

    /// <summary>Advances by a stretch of time with constant fan and flow, exactly.</summary>
    /// <param name="seconds">Length of the stretch [s], 0 or more.</param>
    /// <param name="fanShare">Fan speed as a share of full [-], taken as 0 to 1.</param>
    /// <param name="flowHeatWPerK">Heat that the filament carries off, k_f v_E [W/K], taken as 0 or more.</param>
    /// <exception cref="ArgumentOutOfRangeException"><paramref name="seconds"/> is negative or not finite.</exception>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void Advance(double seconds, double fanShare, double flowHeatWPerK)
    {
        var lossWPerK = LossWPerK(fanShare, flowHeatWPerK);
        if (TemperatureC == _targetC && CanHold(_targetC, lossWPerK) && seconds is >= 0 and < double.PositiveInfinity)
        {
            LastMeanC = _targetC;
            HeldS += seconds;
            return;
        }

        AdvanceMoving(seconds, lossWPerK);
    }

    /// <summary>Time until the block first has a temperature, if target, fan and flow stay as they are.</summary>
    /// <param name="levelC">The temperature [degC].</param>
    /// <param name="fanShare">Fan speed as a share of full [-].</param>
    /// <param name="flowHeatWPerK">Heat that the filament carries off [W/K].</param>
    /// <returns>Time [s]; 0 when it has it now, infinite when it never will.</returns>
    public double SecondsUntil(double levelC, double fanShare, double flowHeatWPerK)
    {
        var lossWPerK = LossWPerK(fanShare, flowHeatWPerK);
        var (nowC, deadS, elapsedS) = (TemperatureC, _deadS, 0.0);
        while (true)
        {
            var stage = Stage(nowC, deadS, lossWPerK);
            var toLevelS = stage.SecondsTo(levelC);
            if (toLevelS <= stage.LengthS)
            {
                return elapsedS + toLevelS;
            }

            if (double.IsPositiveInfinity(stage.LengthS))
            {
                return double.PositiveInfinity;
            }

            elapsedS += stage.LengthS;
            (nowC, deadS) = (stage.EndC, 0);
        }
    }

    private void AdvanceMoving(double seconds, double lossWPerK)
    {
        if (!(seconds >= 0) || double.IsInfinity(seconds))
        {
            throw new ArgumentOutOfRangeException(nameof(seconds), seconds, "expected 0 s or more");
        }

        if (seconds == 0)
        {
            LastMeanC = TemperatureC;
            return;
        }

        // 300 years are as good as for ever, and keep products finite.
        seconds = Math.Min(seconds, 1e10);
        HeldS = 0;
        var (leftS, meanC) = (seconds, 0.0);
        while (true)
        {
            var stage = Stage(TemperatureC, _deadS, lossWPerK);
            if (stage.LengthS > leftS)
            {
                meanC += leftS / seconds * stage.MeanC(leftS);
                TemperatureC = stage.TemperatureC(leftS);
                _deadS = Math.Max(0, _deadS - leftS);
                if (stage.Holds && TemperatureC == _targetC)
                {
                    HeldS = leftS;
                }

                break;
            }

            meanC += stage.LengthS / seconds * stage.MeanC(stage.LengthS);
            TemperatureC = stage.EndC;
            leftS -= stage.LengthS;
            _deadS = 0;
        }

        LastMeanC = meanC;
    }

    /// <summary>What happens from a state on, until the control changes its mind: dead time, drive, hold. At most three in a row.</summary>
    private HeatStage Stage(double nowC, double deadS, double lossWPerK)
    {
        double powerW;
        if (deadS > 0)
        {
            powerW = nowC == _holdDuringDeadC ? Math.Clamp(lossWPerK * (nowC - _ambientC), 0, _model.PowerW) : 0;
            var dead = Driven(nowC, powerW, lossWPerK);
            return dead with { LengthS = deadS, EndC = dead.TemperatureC(deadS) };
        }

        if (nowC == _targetC)
        {
            powerW = Math.Clamp(lossWPerK * (nowC - _ambientC), 0, _model.PowerW);
            return CanHold(nowC, lossWPerK) ? HeatStage.Hold(nowC) : Driven(nowC, powerW, lossWPerK);
        }

        powerW = nowC < _targetC ? _model.PowerW : 0;
        var driven = Driven(nowC, powerW, lossWPerK);
        return double.IsNaN(_targetC) ? driven : driven with { LengthS = driven.SecondsTo(_targetC), EndC = _targetC };
    }

    private HeatStage Driven(double nowC, double powerW, double lossWPerK) => new()
    {
        StartC = nowC,
        RateKPerS = (powerW + lossWPerK * (_ambientC - nowC)) / _model.HeatCapacityJPerK,
        DecayPerS = lossWPerK / _model.HeatCapacityJPerK,
        LengthS = double.PositiveInfinity,
        EndC = double.NaN,
    };

    private bool CanHold(double levelC, double lossWPerK)
    {
        var powerW = lossWPerK * (levelC - _ambientC);
        return powerW >= 0 && powerW <= _model.PowerW;
    }

    private double LossWPerK(double fanShare, double flowHeatWPerK)
    {
        // Written so that NaN counts as 0.
        var fan = fanShare > 0 ? Math.Min(fanShare, 1) : 0;
        var flow = flowHeatWPerK > 0 ? Math.Min(flowHeatWPerK, 1e6) : 0;
        return _model.LossWPerK + _lossFanWPerK * fan + flow;
    }

    private static void RequireWithin(double value, double low, double high, string what)
    {
        if (!(value >= low && value <= high))
        {
            throw new ArgumentOutOfRangeException(what, value, string.Create(CultureInfo.InvariantCulture, $"expected {low} to {high}"));
        }
    }
}
