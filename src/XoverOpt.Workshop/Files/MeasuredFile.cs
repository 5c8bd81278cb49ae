using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>
/// Reads measured curves: a table as text with a heading out of hz, db or spl_db, phase_deg, impedance_ohm, impedance_phase_deg, or an
/// impulse response as WAV. What the file holds decides, not its name.
/// </summary>
public static class MeasuredFile
{
    /// <summary>Reads a file; every fault at once.</summary>
    /// <param name="path">The file.</param>
    /// <param name="calibration">What the samples of a WAV stand for; null where not known.</param>
    /// <param name="trustUnits">Take the units as the heading says, however unlikely the numbers.</param>
    public static Reading<MeasuredCurve> Read(string path, MeasuredCalibration? calibration = null, bool trustUnits = false)
    {
        FaultList faults = new();
        return faults.End(Read(path, path, faults, calibration, trustUnits));
    }

    /// <summary>Reads a curve that came another way than as a file.</summary>
    /// <param name="bytes">What a file would hold.</param>
    /// <param name="name">The name faults and the curve bear.</param>
    /// <param name="calibration">What the samples of a WAV stand for; null where not known.</param>
    /// <param name="trustUnits">Take the units as the heading says, however unlikely the numbers.</param>
    public static Reading<MeasuredCurve> Parse(ReadOnlySpan<byte> bytes, string name, MeasuredCalibration? calibration = null, bool trustUnits = false)
    {
        FaultList faults = new();
        return faults.End(Parse(bytes, new(name, "", faults), name, calibration, trustUnits));
    }

    /// <summary>Reads a file that another one names.</summary>
    internal static MeasuredCurve? Read(string path, string shown, FaultList faults, MeasuredCalibration? calibration, bool trustUnits) =>
        JsonSource.ReadBytes(path, faults, shown) is { } bytes
            ? Parse(bytes, new(shown, "", faults), Path.GetFileNameWithoutExtension(path), calibration, trustUnits)
            : null;

    /// <summary>Reads what stands at a place.</summary>
    internal static MeasuredCurve? Parse(ReadOnlySpan<byte> bytes, MeasuredPlace at, string name, MeasuredCalibration? calibration, bool trustUnits) =>
        bytes.StartsWith("RIFF"u8) || bytes.StartsWith("RIFX"u8) || bytes.StartsWith("RF64"u8)
            ? WavImpulse.Read(bytes, at, name, calibration ?? MeasuredCalibration.None)
            : MeasuredCsv.Read(bytes, at, name, trustUnits);
}
