using System.Numerics;

namespace XoverOpt.Search;

/// <summary>Hunt's parameters over frequency from three measurements whose electrical impedance has a phase.</summary>
/// <param name="Hz">Frequencies, Hz.</param>
/// <param name="Found">Parameters at each, at the mouth of the spout.</param>
public sealed record HuntCurve(IReadOnlyList<double> Hz, IReadOnlyList<HuntRecovery> Found)
{
    /// <summary>Recovers them from the first three measurements with unlike loads that have impedance and phase at the same frequencies.</summary>
    /// <returns>The curve; null where there are not three such measurements.</returns>
    public static HuntCurve? Of(ReceiverFitProblem problem)
    {
        ReceiverMeasurement[] three = [.. problem.Measurements.Where(one => one.Curve.Impedance is not null)
            .GroupBy(one => (one.Load.End, one.Load.CavityVolume, one.Load.DamperResistance, string.Join(' ', one.Load.Tube))).Select(alike => alike.First()).Take(3)];
        if (three.Length < 3)
        {
            return null;
        }

        List<double> at = [];
        List<HuntRecovery> found = [];
        Complex[][] impedances = [.. three.Select(one => one.Curve.Impedance!)];
        for (int k = 0; k < three[0].Curve.Hz.Length; k++)
        {
            double hz = three[0].Curve.Hz[k];
            int[] places = [.. three.Select(one => Array.FindIndex(one.Curve.Hz, f => Math.Abs(f - hz) <= 1e-6 * hz))];
            if (places.All(place => place >= 0) && HuntRecovery.Of(
                [.. places.Select((place, one) => impedances[one][place])],
                [.. three.Select(one => one.Load.Impedance(2 * Math.PI * hz, problem.Air))]) is { } parameters)
            {
                at.Add(hz);
                found.Add(parameters);
            }
        }

        return at.Count == 0 ? null : new(at, found);
    }
}
