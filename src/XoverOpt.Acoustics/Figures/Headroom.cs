namespace XoverOpt.Acoustics.Figures;

/// <summary>
/// The loudest an earpiece can go at a frequency: the eardrum SPL at which the first receiver meets its armature travel (peak) or
/// coil current (RMS) limit, and the voltage at the socket that does it.
/// </summary>
/// <param name="Hz">Frequency, Hz.</param>
/// <param name="Spl">Eardrum SPL there, dB re 20 µPa; infinite where no receiver states a limit.</param>
/// <param name="SocketVoltage">Voltage at the socket, V RMS.</param>
/// <param name="Way">Index of the way that meets its limit; −1 for none.</param>
/// <param name="ByTravel">True for armature travel, false for coil current.</param>
/// <param name="Known">Whether every receiver states a limit; if not, the earpiece may give in earlier than this says.</param>
public readonly record struct Headroom(double Hz, double Spl, double SocketVoltage, int Way, bool ByTravel, bool Known)
{
    /// <summary>Computes it.</summary>
    public static Headroom At(Earpiece earpiece, Ear ear, double hz)
    {
        var response = PlainResponse.At(earpiece, ear, new Source(1, 0), 2 * Math.PI * hz);
        double most = double.PositiveInfinity;
        int limiting = -1;
        bool byTravel = false;
        for (int i = 0; i < earpiece.Ways.Count; i++)
        {
            Receiver receiver = earpiece.Ways[i].Receiver;
            double travel = receiver.TravelLimit / response.ArmatureTravel[i] ?? double.PositiveInfinity;
            double current = receiver.CurrentLimit / response.CoilCurrent[i] ?? double.PositiveInfinity;
            if (Math.Min(travel, current) < most)
            {
                (most, limiting, byTravel) = (Math.Min(travel, current), i, travel <= current);
            }
        }

        bool known = earpiece.Ways.All(way => way.Receiver.TravelLimit is not null || way.Receiver.CurrentLimit is not null);
        return new(hz, 20 * Math.Log10(response.DrumPressure.Magnitude * most / 20e-6), most, limiting, byTravel, known);
    }
}
