using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>Takes a measured curve as the measurement of one built unit.</summary>
public static class MeasuredUnit
{
    private const int FewestPoints = 12;

    /// <summary>The measurement, or why the curve cannot be one.</summary>
    /// <param name="curve">The curve.</param>
    /// <param name="name">The name faults bear.</param>
    public static Reading<UnitMeasurement> Of(MeasuredCurve curve, string name)
    {
        FaultList faults = new();
        if (curve.LevelDb is null)
        {
            faults.Add(new(name, "", "no level", "a column spl_db", "An impedance alone is not held against limits of level."));
        }
        else if (!curve.IsSpl)
        {
            faults.Add(new(name, "", "a level without its reference (db)", "a column spl_db, dB re 20 µPa at the job's drive", "Calibrate the bench: a limit is a limit of level."));
        }

        UnitMeasurement unit = new(curve.Hz, curve.LevelDb ?? curve.Hz, curve.PhaseDeg, curve.ImpedanceOhm, curve.ImpedancePhaseDeg);
        int points = unit.Thinned().Hz.Length;
        if (points < FewestPoints)
        {
            faults.Add(new(
                name, "", FormattableString.Invariant($"{points} frequencies a twelfth of an octave apart between {UnitMeasurement.FromHz} Hz and {UnitMeasurement.ToHz} Hz"), $"at least {FewestPoints}"));
        }

        return faults.End(unit);
    }
}
