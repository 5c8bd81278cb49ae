namespace XoverOpt.Search;

/// <summary>A receiver that could take another's place.</summary>
/// <param name="Receiver">The receiver.</param>
/// <param name="Nearness">Its place in the order of distance, 1 is nearest; those that fall short of a peak SPL come after all others.</param>
/// <param name="Distance">How unlike it is.</param>
/// <param name="PeakShortDb">
/// By how much it falls short of a peak SPL that the job asks for and the build reaches, dB, nothing else changed; 0 where it does not, infinite
/// where it cannot be judged. Armature travel sets it, which no resistor mends.
/// </param>
/// <param name="Listed">Whether the job lists it for every way it would stand in.</param>
public sealed record SwapCandidate(StockReceiver Receiver, int Nearness, ReceiverDistance Distance, double PeakShortDb, bool Listed);

/// <summary>A build after a swap, the rest of it set anew.</summary>
/// <param name="Candidate">What came in.</param>
/// <param name="Build">The best build found, of parts that can be bought or cut (rank 0).</param>
/// <param name="AsItIs">The build with nothing changed but the receiver.</param>
/// <param name="Problem">The job narrowed to this layout, whose lists give the part numbers and prices.</param>
/// <param name="Evaluations">Evaluations used; one with derivatives counts <see cref="Descent.StepCost"/>.</param>
public sealed record SwapResult(SwapCandidate Candidate, RankedBuild Build, RankedBuild AsItIs, Problem Problem, long Evaluations);
