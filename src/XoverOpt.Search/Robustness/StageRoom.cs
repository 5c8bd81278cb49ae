using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>
/// How much room the desk has above a wanted level until the programme's peaks clip. A build that is 3 dB more sensitive needs 3 dB less
/// from the desk: 3 dB more room to everything before the receivers.
/// </summary>
/// <param name="WantedDb">Wanted mean eardrum SPL at 1 kHz, dB re 20 µPa.</param>
/// <param name="CrestDb">Peaks above the mean, dB; 3.01 for a sine.</param>
/// <param name="NeededDbu">The level at the desk that makes it, dBu.</param>
/// <param name="SocketMillivolt">Voltage at the socket then, mV.</param>
/// <param name="Electrical">The first stage before the receivers to clip, wherever in the target band.</param>
/// <param name="ElectricalHz">Where, Hz.</param>
/// <param name="ElectricalRoomDb">Room to it, dB; below 0 the peaks clip.</param>
/// <param name="Receiver">The first receiver limit in the target band; null where no receiver states one.</param>
/// <param name="ReceiverHz">Where, Hz.</param>
/// <param name="ReceiverRoomDb">Room to it, dB.</param>
public sealed record StageRoom(
    double WantedDb,
    double CrestDb,
    double NeededDbu,
    double SocketMillivolt,
    StageLevel Electrical,
    double ElectricalHz,
    double ElectricalRoomDb,
    StageLevel? Receiver,
    double? ReceiverHz,
    double? ReceiverRoomDb)
{
    private static readonly double _sineCrestDb = 20 * Math.Log10(Math.Sqrt(2));

    internal static StageRoom Of(Earpiece earpiece, Problem problem, StageChain chain, double wantedDb, double crestDb, IReadOnlyList<StageLimit> limits)
    {
        PlainResponse at1kHz = PlainResponse.At(earpiece, problem.Ear, new(1, chain.PackOhm), 2 * Math.PI * 1000);
        double volt = 20e-6 * Math.Pow(10, wantedDb / 20) / at1kHz.DrumPressure.Magnitude, needed = chain.DeskDbu(volt);
        StageLimit[] inBand = [.. limits.Where(limit => limit.Hz >= problem.Target.BandLowHz * 0.999 && limit.Hz <= problem.Target.BandHighHz * 1.001)];
        (StageLevel Level, double Hz)[] rising =
        [
            .. (inBand.Length > 0 ? inBand : limits).SelectMany(limit => limit.Stages.Select(stage => (stage, limit.Hz))).OrderBy(stage => stage.stage.DeskDbu),
        ];
        (StageLevel Level, double Hz) electrical = rising.First(stage => stage.Level.Electrical);
        (StageLevel? Level, double Hz) receiver = rising.FirstOrDefault(stage => !stage.Level.Electrical);
        return new(
            wantedDb, crestDb, needed, 1e3 * volt * at1kHz.SocketVoltage.Magnitude,
            electrical.Level, electrical.Hz, Room(electrical.Level),
            receiver.Level, receiver.Level is null ? null : receiver.Hz, receiver.Level is { } level ? Room(level) : null);

        double Room(StageLevel stage) => stage.DeskDbu - needed - (crestDb - _sineCrestDb);
    }
}
